package phrase

import (
	"fmt"
	"reflect"

	"breakbook/repl/phrase/pattern"
)

// fitting reports where the struct of a command and its phrase do not fit: every slot and every option has a field
// of its type, and every field is filled by some phrase of the table.
func (l *Language) fitting() error {
	used := map[reflect.Type]map[string]bool{}
	for _, c := range l.commands {
		if used[c.model.Type()] == nil {
			used[c.model.Type()] = map[string]bool{}
		}
		seen := used[c.model.Type()]
		if err := c.fits(c.Nodes, false, seen); err != nil {
			return err
		}
		for _, t := range c.Tails {
			if err := c.fitsTail(t, seen); err != nil {
				return err
			}
		}
	}
	return l.unfilled(used)
}

// fits holds the slots of a phrase to the fields.
func (b *binding) fits(nodes []pattern.Node, optional bool, seen map[string]bool) error {
	for _, n := range nodes {
		switch n.Kind {
		case pattern.Slotted:
			want := gives[n.Slot.Kind]
			if optional && n.Slot.Kind != "result" {
				want = leftOut(want)
			}
			if err := b.fitsOne(n.Slot.Name, want, seen); err != nil {
				return err
			}
		case pattern.Optional:
			if err := b.fits(n.Inner, true, seen); err != nil {
				return err
			}
		}
	}
	return nil
}

// fitsTail holds an option or a clause to the fields.
func (b *binding) fitsTail(t Tail, seen map[string]bool) error {
	own, maybe := pattern.Slots(t.Nodes)
	switch {
	case len(own) == 1:
		for _, s := range append(own, maybe...) {
			if err := b.fitsOne(s.Name, leftOut(gives[s.Kind]), seen); err != nil {
				return err
			}
		}
		return nil
	case len(own) > 1:
		group, ok := b.typeOf(t.Option)
		if !ok || !isGroup(group) {
			return fmt.Errorf("%s has no struct for the slots of the option %q", b.model.Type(), t.Option)
		}
		seen[t.Option] = true
		return b.fits(t.Nodes, false, seen)
	}
	for _, s := range maybe {
		if err := b.fitsOne(s.Name, leftOut(gives[s.Kind]), seen); err != nil {
			return err
		}
	}
	return b.fitsOne(t.Option, reflect.TypeFor[bool](), seen)
}

// typeOf is the type of a field; ok is false where there is none of the name.
func (b *binding) typeOf(name string) (reflect.Type, bool) {
	path, ok := b.fields[name]
	if !ok {
		return nil, false
	}
	v := b.model
	for _, i := range path {
		switch v.Kind() {
		case reflect.Interface:
			v = v.Elem()
		case reflect.Pointer:
			v = reflect.Zero(v.Type().Elem())
		}
		v = v.Field(i)
	}
	return v.Type(), true
}

// leftOut is the type of a field that may be left out.
func leftOut(t reflect.Type) reflect.Type {
	if t.Kind() == reflect.Interface {
		return t
	}
	return reflect.PointerTo(t)
}

func (b *binding) fitsOne(name string, want reflect.Type, seen map[string]bool) error {
	seen[name] = true
	switch got, ok := b.typeOf(name); {
	case !ok:
		return fmt.Errorf("%s has no field for %q", b.model.Type(), name)
	case got != want:
		return fmt.Errorf("%s has %s for %q; %s is needed", b.model.Type(), got, name, want)
	}
	return nil
}

// unfilled names a field that no phrase of the table fills, or "". The clauses are common
// to many structs; each takes those its entries name.
func (l *Language) unfilled(used map[reflect.Type]map[string]bool) error {
	clause, err := bind(Clauses{})
	if err != nil {
		return err
	}
	clauses := map[reflect.Type]bool{}
	for _, c := range l.commands {
		if len(c.Entry.Clauses) > 0 {
			clauses[c.model.Type()] = true
		}
	}
	for _, c := range l.commands {
		t := c.model.Type()
		for name := range c.fields {
			if _, isClause := clause.fields[name]; isClause && clauses[t] {
				continue
			}
			if !used[t][name] {
				return fmt.Errorf("entry %q: no phrase fills the field %q of %s", c.Entry.Name, name, t)
			}
		}
	}
	return nil
}
