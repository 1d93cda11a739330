package parser

// How tightly an expression holds together.
const (
	choiceRank = iota
	sumRank
	productRank
	signedRank
	powerRank
	operandRank
)
