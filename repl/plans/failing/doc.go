// Package failing reads what plans about how joints fail are calculated from: in come a call and an earlier fit of
// odds, or of the strength of one failure mode; out come its levels and the model that a plan is made with.
package failing
