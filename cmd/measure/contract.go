package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/natefinch/atomic"
	"github.com/spf13/pflag"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
)

// contract writes the list of kinds, tables, columns and values that commands give in JSON.
func contract(_ context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("contract", pflag.ContinueOnError)
	to := flags.String("to", filepath.Join("testdata", "measured", "contract.txt"), "the file to write")
	if err := flags.Parse(args); err != nil {
		return err
	}
	text := contractText(bench.Contracts())
	if err := atomic.WriteFile(*to, strings.NewReader(text)); err != nil {
		return err
	}
	_, err := fmt.Fprintf(out, "%s, %d lines\n", *to, strings.Count(text, "\n"))
	return err
}

// contractText has a line a kind, then one a table and one of the values. Behind a column
// stand its unit and style; in [ ] is what only some entries have, in { } a name of the user's.
func contractText(contracts []page.Contract) string {
	var b strings.Builder
	b.WriteString("What commands give in JSON, written by `go run ./cmd/measure contract`.\n" +
		"Behind a column or value: what it is in, where it is no plain number; [ ]: only some entries have it;\n" +
		"{ }: filled in with a name or unit from the series.\n")
	var bare []string
	for _, kind := range append(phrase.Kinds(), "") {
		of := slices.DeleteFunc(slices.Clone(contracts), func(c page.Contract) bool {
			return c.Kind != kind || c.Tables == nil && c.Values == nil
		})
		if len(of) == 0 && kind != "" {
			bare = append(bare, kind)
		}
		for _, c := range of {
			contractOf(&b, c)
		}
	}
	if len(bare) > 0 {
		fmt.Fprintf(&b, "\nno table and no value of their own: %s\n", strings.Join(bare, ", "))
	}
	return b.String()
}

// contractOf writes the tables and values of one contract.
func contractOf(b *strings.Builder, c page.Contract) {
	head := c.Kind
	if head == "" {
		head = "any kind, run with `each of`: first"
	}
	fmt.Fprintf(b, "\n%s\n", head)
	for _, t := range c.Tables {
		columns := "columns known only when it is made"
		if t.Row != nil {
			columns = fieldsText(page.Fields(t.Row))
		}
		fmt.Fprintf(b, "  %s: %s\n", t.ID, columns)
	}
	if c.Values != nil {
		fmt.Fprintf(b, "  values: %s\n", fieldsText(page.Fields(c.Values)))
	}
}

func fieldsText(fields []page.Field) string {
	var out []string
	for _, f := range fields {
		text := f.ID
		if is := fieldIs(f); is != "" {
			text += " (" + is + ")"
		}
		if f.Maybe || f.Type == page.ManyField {
			text = "[" + text + "]"
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// fieldIs says what a column is in.
func fieldIs(f page.Field) string {
	switch f.Type {
	case page.TextField:
		return "text"
	case page.TruthField:
		return "true or false"
	case page.AnyField:
		return "text or number"
	}
	switch {
	case f.Unit != "":
		return f.Unit
	case f.Style == page.Count:
		return "count"
	case f.Style == page.Fraction:
		return "fraction"
	case f.Style == page.Percent:
		return "percent"
	}
	return ""
}
