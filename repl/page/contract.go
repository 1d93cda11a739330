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
