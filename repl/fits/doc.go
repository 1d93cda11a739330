// Package fits has the commands that fit a response on terms and what is asked of a fit:
// anova, adjusted, share out, predict, rivals. In come a call and the command; out come the
// sentences and tables of effects, and the fit to be kept.
package fits
