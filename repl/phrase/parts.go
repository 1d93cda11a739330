package phrase

import "reflect"

// Facet finds what a command's struct, or the variant its Subject holds, can answer.
func Facet[F any](c *Command) (f F, ok bool) {
	if f, ok = c.Do.(F); ok {
		return f, true
	}
	v := reflect.ValueOf(c.Do).Elem()
	for i := range v.NumField() {
		if v.Field(i).Kind() == reflect.Interface && v.Type().Field(i).Name == "Subject" {
			f, ok = v.Field(i).Interface().(F)
		}
	}
	return f, ok
}

// Grouped is what sets the levels of categories side by side.
type Grouped interface{ Categories() []ColumnRef }

// OnFit is what asks something of an earlier fit.
type OnFit interface{ Earlier() Name }

// Part is the first part of a command that is of a type, its clauses apart: its response,
// its terms, its file. ok is false where it has none, or left it out.
func Part[T any](c *Command) (part T, ok bool) {
	Walk(reflect.ValueOf(c.Do).Elem(), func(v reflect.Value) bool {
		part, ok = v.Interface().(T)
		return ok
	})
	return part, ok
}

// PlaceOf is where in the line a column of that name was typed, or 0: on its own or as the
// response.
func (c *Command) PlaceOf(column string) int {
	at := 0
	Walk(reflect.ValueOf(c.Do).Elem(), func(v reflect.Value) bool {
		switch n := v.Interface().(type) {
		case ColumnRef:
			if n.Column == column {
				at = n.At
			}
		case Response:
			if n.Column.Column == column {
				at = n.At
			}
		}
		return at > 0
	})
	return at
}

// Walk visits the tagged fields of a struct that are there, those of its embedded structs
// and its Subject too, the clauses not; until visit has what it wants.
func Walk(v reflect.Value, visit func(reflect.Value) bool) bool {
	for i := range v.NumField() {
		f, field := v.Type().Field(i), v.Field(i)
		if field.Kind() == reflect.Pointer {
			if field.IsNil() {
				continue
			}
			field = field.Elem()
		}
		_, tagged := f.Tag.Lookup("phrase")
		switch {
		case f.Type == reflect.TypeFor[Clauses]():
		case tagged:
			if visit(field) {
				return true
			}
		case field.Kind() == reflect.Interface && !field.IsNil():
			if Walk(field.Elem(), visit) {
				return true
			}
		case f.Anonymous:
			if Walk(field, visit) {
				return true
			}
		}
	}
	return false
}

func these(first ColumnRef, more *ColumnRef) []ColumnRef {
	if more == nil {
		return []ColumnRef{first}
	}
	return []ColumnRef{first, *more}
}

func maybe(c *ColumnRef) []ColumnRef {
	if c == nil {
		return nil
	}
	return []ColumnRef{*c}
}

func (s ByLevels) Categories() []ColumnRef    { return these(s.A, nil) }
func (s LevelsOfFit) Categories() []ColumnRef { return these(s.A, nil) }
func (s WithFigure) Categories() []ColumnRef  { return maybe(s.A) }
func (s AgreeEffect) Categories() []ColumnRef { return these(s.A, nil) }
func (s PlanMeans) Categories() []ColumnRef   { return these(s.A, s.B) }
func (s PlanModes) Categories() []ColumnRef   { return these(s.A, nil) }
func (s PlanLimit) Categories() []ColumnRef   { return maybe(s.A) }
func (c *Average) Categories() []ColumnRef    { return these(c.A, c.B) }
func (c *CountModes) Categories() []ColumnRef { return these(c.A, nil) }
func (c *Modes) Categories() []ColumnRef      { return these(c.A, nil) }

func (s OfFit) Earlier() Name       { return s.Fit }
func (s LevelsOfFit) Earlier() Name { return s.Fit }
