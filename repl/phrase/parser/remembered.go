package parser

import "breakbook/repl/phrase"

// remembered is Known while one line is read: what it lists is asked for once.
type remembered struct {
	phrase.Known
	columns map[string][]phrase.KnownColumn
	results []phrase.KnownResult
	asked   bool
}

// Remember is what a session knows, each list asked for once; for reading many lines that are nearly alike.
func Remember(k phrase.Known) phrase.Known {
	if _, done := k.(*remembered); done {
		return k
	}
	return &remembered{Known: k, columns: map[string][]phrase.KnownColumn{}}
}

func (r *remembered) Columns(series string) []phrase.KnownColumn {
	list, met := r.columns[series]
	if !met {
		list = r.Known.Columns(series)
		r.columns[series] = list
	}
	return list
}

func (r *remembered) Results() []phrase.KnownResult {
	if !r.asked {
		r.results, r.asked = r.Known.Results(), true
	}
	return r.results
}
