package design

import (
	"context"
	"slices"

	"gonum.org/v1/gonum/floats"

	"breakbook/models/parallel"
)

// dependentBelow is the share of a column's own length below which what is left of it is
// rounding: the column is dependent.
const dependentBelow = 1e-11

// Span is orthonormal directions that grow column by column, for work that asks what a set
// of columns explains many times over, to the digits of float64: the directions so far, each
// of length one and at right angles to the others.
type Span struct{ Directions [][]float64 }

// Add takes a column in and says whether it brought a new direction. coords are the
// column's coordinates along the directions, the new one last where there is one: with them
// Directions times coords is the column. Each column is taken off twice (Giraud, Langou &
// Rozložník 2005). The column is not changed. It is parallel.Stopped where ctx ends.
func (s *Span) Add(ctx context.Context, column []float64) (coords []float64, added bool) {
	rest := slices.Clone(column)
	own := floats.Norm(rest, 2)
	coords = make([]float64, len(s.Directions), len(s.Directions)+1)
	for range 2 {
		for d, u := range s.Directions {
			parallel.Look(ctx)
			along := floats.Dot(u, rest)
			coords[d] += along
			floats.AddScaled(rest, -along, u)
		}
	}
	length := floats.Norm(rest, 2)
	if !(length > dependentBelow*own) {
		return coords, false
	}
	floats.Scale(1/length, rest)
	s.Directions = append(s.Directions, rest)
	return append(coords, length), true
}

// Rest is what is left of y once the span is taken off it. It is parallel.Stopped where ctx ends.
func (s *Span) Rest(ctx context.Context, y []float64) []float64 {
	rest := slices.Clone(y)
	for range 2 {
		for _, u := range s.Directions {
			parallel.Look(ctx)
			along := floats.Dot(u, rest)
			floats.AddScaled(rest, -along, u)
		}
	}
	return rest
}

// Squares is the squared length of the part of y along the directions from the one
// numbered from (0 for all).
func (s *Span) Squares(y []float64, from int) float64 {
	sum := 0.0
	for _, u := range s.Directions[from:] {
		along := floats.Dot(u, y)
		sum += along * along
	}
	return sum
}
