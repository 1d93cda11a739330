package render

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
)

// rules is one JSON Schema, or a part of one.
type rules map[string]any

// doubtCodes are what a doubt may be about.
var doubtCodes = []string{"left-out", "combination", "bend", "odd-specimen", "uneven-spread", "ceiling", "one-block",
	"blocks", "confounded", "order", "many-asked", "repeated", "few-left", "single", "gap", "distribution"}

// Schema is the JSON Schema (draft 2020-12) of what JSON gives for an entry, made from the row types of the commands;
// kinds are those there are. Entries of a kind that no contract names need only have the shape that all entries have; a
// contract of the empty kind has what `each of` puts before the tables of any command.
func Schema(contracts []page.Contract, kinds []string) ([]byte, error) {
	defs := rules{"failed": failedRules(), "table": tableRules(), "doubt": doubtRules(),
		"number": rules{"type": []string{"number", "null"}}, "text": rules{"type": []string{"string", "null"}},
		"truth": rules{"type": []string{"boolean", "null"}},
		"cell":  rules{"type": []string{"number", "string", "boolean", "null"}}}
	var byKind []any
	for _, kind := range kinds {
		if !slices.ContainsFunc(contracts, func(c page.Contract) bool { return c.Kind == kind }) {
			continue
		}
		name := "kind " + kind
		defs[name] = kindRules(kind, contracts, defs)
		byKind = append(byKind, rules{"if": has("kind", kind), "then": ref(name)})
	}
	worked := workedRules(kinds)
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

func workedRules(kinds []string) rules {
	return object(rules{"entry": aPlace, "input": aText, "ok": rules{"const": true}, "kind": rules{"enum": kinds},
		"name": aName, "series": aName,
		"specimens": object(rules{"used": aCount, "set_aside": aCount, "missing": aCount}),
		"findings":  listOf(aName), "doubts": listOf(ref("doubt")), "tables": listOf(ref("table")),
		"values":      rules{"type": "object", "additionalProperties": ref("cell")},
		"value_units": rules{"type": "object", "additionalProperties": aName},
		"figures":     listOf(object(rules{"path": aName, "alt": aText})), "cautions": listOf(aName),
		"next": listOf(aName)},
		"name", "series", "specimens", "doubts", "next")
}

func failedRules() rules {
	line := rules{"type": "string", "minLength": 1, "pattern": "^[^\n]*$"}
	return object(rules{"entry": aPlace, "input": aText, "ok": rules{"const": false},
		"error": object(rules{"code": aName, "message": line, "at": aPlace, "hint": line}, "at", "hint")})
}

func doubtRules() rules {
	return object(rules{"code": rules{"enum": doubtCodes}, "about": aText, "text": aName, "answer_then": aText,
		"try": aText}, "answer_then", "try")
}

// tableRules are what every table is held to, whichever command it is of.
func tableRules() rules {
	return object(rules{"id": aName, "title": aText, "columns": listOf(object(rules{"id": aName, "unit": aName},
		"unit")), "rows": listOf(listOf(ref("cell"))), "note": aName}, "note")
}

// kindRules are the tables and values of one kind. Where the command ran `each of` a
// column, its tables have that column first and there are no values.
func kindRules(kind string, contracts []page.Contract, defs rules) rules {
	var values []reflect.Type
	without := false
	once, each := newTables(kind), newTables(kind+" each")
	each.add("each", nil, false)
	for _, c := range contracts {
		for _, t := range c.Tables {
			switch c.Kind {
			case kind:
				once.add(t.ID, t.Row, false)
				each.add(t.ID, t.Row, true)
			case "":
				each.add(t.ID, t.Row, false)
			}
		}
		switch {
		case c.Kind == kind && c.Values != nil:
			values = append(values, c.Values)
		case c.Kind == kind:
			without = true
		}
	}
	nothing := rules{"maxProperties": 0}
	keys, units := valueRules(values, without)
	return rules{
		"if":   rules{"properties": rules{"tables": rules{"contains": has("id", "each")}}},
		"then": rules{"properties": rules{"tables": each.rules(defs), "values": nothing, "value_units": nothing}},
		"else": rules{"properties": rules{"tables": once.rules(defs), "values": keys, "value_units": units}},
	}
}

// tablesOf are the tables that entries of one kind may have.
type tablesOf struct {
	called string
	ids    []string
	rows   map[string][]any // by id
}

func newTables(called string) *tablesOf { return &tablesOf{called: called, rows: map[string][]any{}} }

// add takes one more table in; of no row type where its columns are not known beforehand.
func (t *tablesOf) add(id string, row reflect.Type, each bool) {
	t.ids = lists.With(t.ids, id)
	if row != nil {
		t.rows[id] = append(t.rows[id], shapeRules(row, each))
	}
}

// rules are those for the list of tables; what a table is like goes into defs.
func (t *tablesOf) rules(defs rules) rules {
	if len(t.ids) == 0 {
		return rules{"maxItems": 0}
	}
	items := rules{"properties": rules{"id": rules{"enum": t.ids}}}
	var each []any
	for _, id := range t.ids {
		if t.rows[id] != nil {
			name := "table " + t.called + " " + id
			defs[name] = either(t.rows[id])
			each = append(each, rules{"if": has("id", id), "then": ref(name)})
		}
	}
	if each != nil {
		items["allOf"] = each
	}
	return rules{"items": items}
}
