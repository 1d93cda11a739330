package phrase

import "reflect"

// Clauses are the command's clauses; for a command that takes none, none.
func (c *Command) Clauses() *Clauses {
	if own, ok := c.Do.(interface{ clauses() *Clauses }); ok {
		return own.clauses()
	}
	return &Clauses{}
}

func (c *Clauses) clauses() *Clauses { return c }

// Replacing reports whether the command insists on a name that is taken.
func (c *Command) Replacing() bool {
	own, ok := c.Do.(interface{ replaces() bool })
	return ok && own.replaces()
}

// Copy is the command with a struct of its own: what is changed there leaves the first as
// it was. What the struct's pointers and lists lead to is shared, and is replaced, not
// changed.
func (c *Command) Copy() *Command {
	out := *c
	do := reflect.New(reflect.TypeOf(c.Do).Elem())
	do.Elem().Set(reflect.ValueOf(c.Do).Elem())
	out.Do = do.Interface()
	return &out
}
