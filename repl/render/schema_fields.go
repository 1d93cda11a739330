package render

import (
	"reflect"
	"regexp"
	"slices"
	"strings"

	"breakbook/repl/page"
)

// either is met by what meets one of the rules.
func either(all []any) any {
	if len(all) == 1 {
		return all[0]
	}
	return rules{"anyOf": all}
}

// shapeRules are the columns and cells of a table of a row type; each: behind the column
// that the command ran once a level of.
func shapeRules(row reflect.Type, each bool) rules {
	var columns, cells []any
	if each {
		columns, cells = append(columns, rules{}), append(cells, ref("text"))
	}
	var restColumns, restCells []any // from the first column that there may be none or several of
	for _, f := range page.Fields(row) {
		if f.Maybe || f.Type == page.ManyField || restColumns != nil {
			restColumns, restCells = append(restColumns, columnRules(f)), append(restCells, cellRules(f))
			continue
		}
		columns, cells = append(columns, columnRules(f)), append(cells, cellRules(f))
	}
	line := func(first, rest []any) rules {
		out := rules{"minItems": len(first), "items": false}
		if len(first) > 0 {
			out["prefixItems"] = first
		}
		if rest != nil {
			out["items"] = either(rest)
		}
		return out
	}
	return rules{"properties": rules{"columns": line(columns, restColumns),
		"rows": rules{"items": line(cells, restCells)}}}
}

func columnRules(f page.Field) rules {
	keys := rules{}
	switch {
	case f.Type == page.ManyField:
		return rules{}
	case strings.Contains(f.ID, "{"):
		keys["id"] = rules{"pattern": patternOf(f.ID)}
	default:
		keys["id"] = rules{"const": f.ID}
	}
	out := rules{"properties": keys}
	switch {
	case f.Unit == "":
		keys["unit"] = false
	case !strings.Contains(f.Unit, "{"):
		keys["unit"] = rules{"const": f.Unit}
		out["required"] = []string{"unit"}
	}
	return out
}

func cellRules(f page.Field) rules {
	switch f.Type {
	case page.NumberField:
		return ref("number")
	case page.TextField:
		return ref("text")
	case page.TruthField:
		return ref("truth")
	}
	return ref("cell")
}

// patternOf is met by an id with its {names} filled in.
func patternOf(id string) string {
	out := "^"
	for id != "" {
		open := strings.Index(id, "{")
		end := strings.Index(id, "}")
		if open < 0 || end < open {
			return out + regexp.QuoteMeta(id) + "$"
		}
		out += regexp.QuoteMeta(id[:open]) + ".+"
		id = id[end+1:]
	}
	return out + "$"
}

// valueRules are the values of a kind and their units; without: an entry may have none.
func valueRules(of []reflect.Type, without bool) (values, units rules) {
	byKey, unitByKey := map[string][]any{}, map[string][]any{}
	count := map[string]int{}
	for _, v := range of {
		for _, f := range page.Fields(v) {
			byKey[f.ID] = append(byKey[f.ID], cellRules(f))
			if u := unitRules(f); u != nil {
				unitByKey[f.ID] = append(unitByKey[f.ID], u)
			}
			if !f.Maybe && f.Type != page.ManyField {
				count[f.ID]++
			}
		}
	}
	values, units = keyRules(byKey), keyRules(unitByKey)
	must := []string{}
	for id, n := range count {
		if n == len(of) && !without && !strings.Contains(id, "{") {
			must = append(must, id)
		}
	}
	slices.Sort(must)
	values["required"] = must
	return values, units
}

// unitRules is what a value's unit may be, nil for a value that has none.
func unitRules(f page.Field) any {
	switch {
	case f.Style == page.Fraction:
		return rules{"const": "fraction"}
	case f.Style == page.Percent:
		return rules{"const": "percent"}
	case strings.Contains(f.Unit, "{"):
		return aName
	case f.Unit != "":
		return rules{"const": f.Unit}
	}
	return nil
}

// keyRules are an object of these keys only, those with {names} by their pattern.
func keyRules(byKey map[string][]any) rules {
	plain, patterns := rules{}, rules{}
	for id, all := range byKey {
		if strings.Contains(id, "{") {
			patterns[patternOf(id)] = either(all)
		} else {
			plain[id] = either(all)
		}
	}
	return rules{"properties": plain, "patternProperties": patterns, "additionalProperties": false}
}
