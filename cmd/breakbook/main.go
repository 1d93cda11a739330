// Command breakbook is the bench notebook of a joiner who breaks their own joints and
// wants to know which factor drove the breaking load. `breakbook --help` lists the calls.
package main

import (
	"os"

	"breakbook/repl"
)

func main() { os.Exit(repl.Main(os.Args[1:])) }
