// Package counted makes many series side by side and counts what came of them: the same for any number of cores.
package counted

import (
	"context"

	"breakbook/models/lists"
	"breakbook/models/parallel"
)

// Each is what came of every one of n series, in their order.
func Each[T any](ctx context.Context, n int, one func(ctx context.Context, i int) (T, error)) ([]T, error) {
	all := make([]T, n)
	err := parallel.All(ctx, n, func(ctx context.Context, i int) (err error) {
		all[i], err = one(ctx, i)
		return err
	})
	return all, err
}

// Sum adds up what came of n series, in their order.
func Sum[T any](ctx context.Context, n int, add func(sum *T, of T),
	one func(ctx context.Context, i int) (T, error)) (sum T, err error) {
	all, err := Each(ctx, n, one)
	for _, of := range all {
		add(&sum, of)
	}
	return sum, err
}

// Share is the share of n series in which something came true.
func Share(ctx context.Context, n int, one func(ctx context.Context, i int) (bool, error)) (float64, error) {
	all, err := Each(ctx, n, one)
	return float64(lists.Count(all, func(hit bool) bool { return hit })) / float64(n), err
}
