package frames

// WordsEach is a text for each specimen, in their order; an empty one is missing.
func WordsEach(texts []string) *Vector {
	v := &Vector{texts: texts}
	for row, text := range texts {
		if text == "" {
			if v.gone == nil {
				v.gone = make([]bool, len(texts))
			}
			v.gone[row] = true
		}
	}
	return v
}
