// Package fitted holds a fit that can be asked. In comes a Call of package session, with the
// terms to fit or the name of an earlier fit; what comes out is the Fit with its specimens and
// its Method, the joints that it is asked about (Asked), the factors that another is combined
// with in it and the settings it is told within (Partners, Within), the levels of a category
// with the other factors held equal (Levels), and levels compared, of a fit or not, with the
// words for their differences (Family).
package fitted
