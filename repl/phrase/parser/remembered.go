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

// NowCalled and MadeBy are those of a session that knows its past.
func (r *remembered) NowCalled(series, name string) string {
	if past, ok := r.Known.(phrase.Past); ok {
		return past.NowCalled(series, name)
	}
	return ""
}

// EachSpecimen is that of a session that lists its specimens.
func (r *remembered) EachSpecimen(series string, visit func(name string) bool) {
	if k, ok := r.Known.(phrase.Listing); ok {
		k.EachSpecimen(series, visit)
	}
}

// LikelyColumn is that of a session that knows what columns are for.
func (r *remembered) LikelyColumn(series, role string) (string, bool) {
	if k, ok := r.Known.(phrase.Likely); ok {
		return k.LikelyColumn(series, role)
	}
	return "", false
}

func (r *remembered) MadeBy(result string) string {
	if past, ok := r.Known.(phrase.Past); ok {
		return past.MadeBy(result)
	}
	return ""
}
