package say

import "breakbook/repl/page"

// Again says what was carried out once more, and how many specimens took part then and now.
func Again(name, line string, then, now *page.Specimens) page.Sentence {
	s := page.Say("This is " + name + " again (" + line + ")")
	if then == nil || now == nil {
		return append(s, page.Word("."))
	}
	if *then == *now {
		return append(s, page.Say(": ", now.Used, " specimens, as many as then.")...)
	}
	return append(s, page.Say(": ", now.Used, " specimens take part now, ", then.Used, " did then (set aside: ",
		now.SetAside, " now, ", then.SetAside, " then).")...)
}
