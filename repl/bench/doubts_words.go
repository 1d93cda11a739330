package bench

import "breakbook/repl/page"

// doubtSentence tells a doubt after the answer it concerns, with the line to type.
func doubtSentence(d page.Doubt) page.Sentence {
	s := page.Say("In doubt: ")
	for _, part := range d.Text {
		if v, ok := part.(page.Verdict); ok { // the answer under the remedy is not the one in doubt
			v.Of = ""
			part = v
		}
		s = append(s, part)
	}
	if d.Try != "" {
		s = append(s, page.Word(" Type: "+d.Try))
	}
	return s
}
