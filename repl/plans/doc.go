// Package plans has the commands for the next series: plan, sheet, allot, suggest. In come a
// call and the command; out come how many specimens to make, which, and which blank gets
// what.
package plans
