package page

import "reflect"

// Contract is what the commands of one kind give in JSON: their tables and values.
type Contract struct {
	Kind   string
	Tables []TableShape
	Values reflect.Type // the struct of its values; nil: none
}

// TableShape is one table of a contract.
type TableShape struct {
	ID  string
	Row reflect.Type
}

// Gives is the contract of a kind of command: the struct of its values, nil for none, and its tables.
func Gives(kind string, values reflect.Type, tables ...TableShape) Contract {
	return Contract{Kind: kind, Tables: tables, Values: values}
}

// Rows is the table of an id whose rows are of a type.
func Rows[R any](id string) TableShape { return TableShape{ID: id, Row: reflect.TypeFor[R]()} }
