// Package judging holds a series to the plan that it was made by: whether it may end, and what is left to make.
package judging
