// Package plans has the commands for how many specimens of the next series to make: plan and sheet. In come a call and
// the command; out come the numbers with what they promise, and the sheet to fill in.
package plans
