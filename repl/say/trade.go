package say

import "breakbook/repl/page"

// OddDensity warns of densities that no wood has.
func OddDensity(column string, count int, first string, value float64, unit string, least, most float64) page.Sentence {
	s := page.Say(count, plural(count, " value of ", " values of ")+column+" "+plural(count, "is", "are")+" outside ",
		page.Num{Value: least, Style: page.Exact}, " to ", page.Num{Value: most, Unit: "kg/m3", Style: page.Exact}, ", where no wood is")
	if count == 1 {
		s = append(s, page.Say(" (specimen "+first+": ", page.Num{Value: value, Unit: unit}, ")")...)
	} else {
		s = append(s, page.Say(" (the first is specimen "+first+": ", page.Num{Value: value, Unit: unit}, ")")...)
	}
	return append(s, page.Word(". Look at the unit, and for a slip of the pen."))
}

// GroupSpread is a group with its coefficient of variation.
type GroupSpread struct {
	Group string
	CV    float64
}

// TooAlike warns of groups that scatter less than broken joints do.
func TooAlike(groups []GroupSpread, least float64) page.Sentence {
	return append(scatters(groups), page.Say(": under ", page.Num{Value: least, Style: page.Fraction},
		" broken joints are more alike than is usual (10 to 25 % is ordinary). Are rows copied, or averages of several breaks?")...)
}

// TooScattered warns of groups that scatter more than joints of one kind do.
func TooScattered(groups []GroupSpread, most float64) page.Sentence {
	return append(scatters(groups), page.Say(": over ", page.Num{Value: most, Style: page.Fraction},
		" is more than joints of one kind usually scatter (10 to 25 % is ordinary). Are failure modes or units mixed?")...)
}

func scatters(groups []GroupSpread) page.Sentence {
	s := page.Say("The coefficient of variation is ")
	for i, g := range groups {
		if i > 0 {
			s = append(s, page.Word(", "))
		}
		s = append(s, page.Say(page.Num{Value: g.CV, Style: page.Fraction}, " in "+g.Group)...)
	}
	return s
}

// ChalkPoint warns that a line was laid through temperatures where a step is expected.
func ChalkPoint(column string, low, high, at float64, unit string) page.Sentence {
	n := func(x float64) page.Num { return page.Num{Value: x, Unit: unit, Style: page.Exact} }
	return page.Say(column+" runs from ", n(low), " to ", n(high), ", across the glue's chalk point, taken as ", n(at),
		": colder than that a white glue dries chalky and weak, so a step is to be expected there and no straight line. For where it is, read the tin,"+
			" and say chalk point and the figure. For a step: work out cured = \"warm\" if "+column+" >= ", n(at),
		", otherwise \"cold\"; then fit on cured in place of "+column+".")
}

// ChalkPointSet tells the chalk point from now on.
func ChalkPointSet(at float64, unit string) page.Sentence {
	return page.Say("The glue's chalk point is now taken as ", page.Num{Value: at, Unit: unit}, ".")
}
