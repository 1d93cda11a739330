package render

import (
	"encoding/json"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"breakbook/repl/page"
)

// rules is one JSON Schema, or a part of one.
type rules map[string]any

// doubtCodes are what a doubt may be about.
var doubtCodes = []string{"left-out", "combination", "bend", "odd-specimen", "uneven-spread", "ceiling", "one-block", "blocks",
	"confounded", "order", "many-asked", "repeated", "few-left", "single", "gap"}

// Schema is the JSON Schema (draft 2020-12) of what JSON gives for an entry, made from the
// row types of the commands. Entries of a kind that no contract names need only have the
// shape that all entries have.
func Schema(contracts []page.Contract) ([]byte, error) {
	defs := rules{"failed": failedRules(), "table": tableRules(), "doubt": doubtRules(),
		"number": rules{"type": []string{"number", "null"}}, "text": rules{"type": []string{"string", "null"}},
		"truth": rules{"type": []string{"boolean", "null"}}, "cell": rules{"type": []string{"number", "string", "boolean", "null"}}}
	var byKind []any
	for _, kind := range kindsOf(contracts) {
		name := "kind " + kind
		defs[name] = kindRules(kind, contracts, defs)
		byKind = append(byKind, rules{"if": has("kind", kind), "then": ref(name)})
	}
	worked := workedRules()
	if byKind != nil {
		worked["allOf"] = byKind
	}
	defs["worked"] = worked
	return json.MarshalIndent(rules{
		"$schema":     "https://json-schema.org/draft/2020-12/schema",
		"title":       "An entry of breakbook",
		"description": "One line of what --json writes: a command and what it gave, or why it failed.",
		"type":        "object",
		"if":          has("ok", true), "then": ref("worked"), "else": ref("failed"),
		"$defs": defs,
	}, "", "  ")
}

// kindsOf are the kinds that contracts name, each once, in their order.
func kindsOf(contracts []page.Contract) []string {
	var out []string
	seen := map[string]bool{}
	for _, c := range contracts {
		if !seen[c.Kind] {
			seen[c.Kind] = true
			out = append(out, c.Kind)
		}
	}
	return out
}

func ref(def string) rules { return rules{"$ref": "#/$defs/" + strings.ReplaceAll(def, " ", "%20")} }

// has is met by an object that has this under the key.
func has(key string, is any) rules {
	return rules{"properties": rules{key: rules{"const": is}}, "required": []string{key}}
}

func listOf(items any) rules { return rules{"type": "array", "items": items} }

// object is an object of these keys, of which those in may can be left out, and no others.
func object(keys rules, may ...string) rules {
	must := []string{}
	for key := range keys {
		if !slices.Contains(may, key) {
			must = append(must, key)
		}
	}
	slices.Sort(must)
	return rules{"type": "object", "properties": keys, "required": must, "additionalProperties": false}
}

var (
	aText  = rules{"type": "string"}
	aCount = rules{"type": "integer", "minimum": 0}
	aPlace = rules{"type": "integer", "minimum": 1}
	aName  = rules{"type": "string", "minLength": 1}
)

func workedRules() rules {
	return object(rules{"entry": aPlace, "input": aText, "ok": rules{"const": true}, "kind": aName, "name": aName, "series": aName,
		"specimens": object(rules{"used": aCount, "set_aside": aCount, "missing": aCount}),
		"findings":  listOf(aText), "doubts": listOf(ref("doubt")), "tables": listOf(ref("table")),
		"values":      rules{"type": "object", "additionalProperties": ref("cell")},
		"value_units": rules{"type": "object", "additionalProperties": aName},
		"figures":     listOf(object(rules{"path": aName, "alt": aText})), "cautions": listOf(aText)},
		"name", "series", "specimens", "doubts")
}

func failedRules() rules {
	line := rules{"type": "string", "minLength": 1, "pattern": "^[^\n]*$"}
	return object(rules{"entry": aPlace, "input": aText, "ok": rules{"const": false},
		"error": object(rules{"code": aName, "message": line, "at": aPlace, "hint": line}, "at", "hint")})
}

func doubtRules() rules {
	return object(rules{"code": rules{"enum": doubtCodes}, "about": aText, "text": aName, "answer_then": aText, "try": aText},
		"answer_then", "try")
}

// tableRules are what every table is held to, whichever command it is of.
func tableRules() rules {
	return object(rules{"id": aName, "title": aText, "columns": listOf(object(rules{"id": aName, "unit": aName}, "unit")),
		"rows": listOf(listOf(ref("cell"))), "note": aName}, "note")
}

// kindRules are the tables and values of one kind. Where the command ran `each of` a
// column, its tables have that column first and there are no values.
func kindRules(kind string, contracts []page.Contract, defs rules) rules {
	var values []reflect.Type
	var ids []string
	byID := map[string][]any{}
	without := false
	for _, c := range contracts {
		if c.Kind != kind {
			continue
		}
		if c.Values != nil {
			values = append(values, c.Values)
		} else {
			without = true
		}
		for _, t := range c.Tables {
			if byID[t.ID] == nil {
				ids = append(ids, t.ID)
			}
			byID[t.ID] = append(byID[t.ID], shapeRules(t.Row, false))
			byID["each "+t.ID] = append(byID["each "+t.ID], shapeRules(t.Row, true))
		}
	}
	tables := func(each string) rules {
		var rule []any
		known := ids
		for _, id := range ids {
			name := "table " + kind + " " + each + id
			defs[name] = either(byID[each+id])
			rule = append(rule, rules{"if": has("id", id), "then": ref(name)})
		}
		if each != "" {
			known = append([]string{"each"}, ids...)
		}
		items := rules{"properties": rules{"id": rules{"enum": known}}}
		if len(known) == 0 {
			return rules{"maxItems": 0}
		}
		if rule != nil {
			items["allOf"] = rule
		}
		return rules{"items": items}
	}
	nothing := rules{"maxProperties": 0}
	keys, units := valueRules(values, without)
	return rules{
		"if":   rules{"properties": rules{"tables": rules{"contains": has("id", "each")}}},
		"then": rules{"properties": rules{"tables": tables("each "), "values": nothing, "value_units": nothing}},
		"else": rules{"properties": rules{"tables": tables(""), "values": keys, "value_units": units}},
	}
}

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
	return rules{"properties": rules{"columns": line(columns, restColumns), "rows": rules{"items": line(cells, restCells)}}}
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
