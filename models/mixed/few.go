package mixed

import (
	"context"

	"gonum.org/v1/gonum/mat"

	"breakbook/models/design"
	"breakbook/models/parallel"
)

// SolveFew is Solve by the restricted likelihood, with answers that hold for few blocks too (Kenward and Roger 1997,
// Biometrics 53, sections 2 and 3): the covariance of the coefficients also counts that the variances are estimated,
// and degrees of freedom come from what is expected of the information about these. A variance estimated as zero stays
// among those that are uncertain: with six boards it can come out as zero where boards do differ, and what lies
// between boards then has the degrees of freedom of boards and not of specimens. Of several combinations at once F has
// the degrees of freedom of Fai and Cornelius as in Anova, and is not scaled. Errors are those of Solve.
func SolveFew(ctx context.Context, y []float64, m design.Model, blocks []Block) (_ *Fit, err error) {
	defer parallel.Catch(&err)
	return largest(ctx, y, m, blocks, Restricted, true)
}

// keep takes the likelihood at its largest with all block columns in, those of ratio 0 too, and works out what few
// blocks add to the covariance. It fails where the specimens cannot tell the variances from each other.
func (f *Fit) keep(p *parts, ratios []float64) error {
	x, err := p.at(ratios, true)
	if err != nil {
		return err
	}
	k, variance := len(ratios), x.rss/p.freedom
	info := mat.NewSymDense(k+1, nil)
	info.SetSym(0, 0, p.freedom/(2*variance*variance))
	for a := range k {
		info.SetSym(0, a+1, x.first[a]/(2*variance))
		for b := range a + 1 {
			info.SetSym(a+1, b+1, x.traces.At(a, b)/2)
		}
	}
	inverse, err := inverted(info)
	if err != nil {
		return err
	}
	f.parts, f.at, f.inverse, f.added = p, x, inverse, p.addition(x, inverse)
	return nil
}

// addition is Kenward and Roger's 2ΦΛΦ over Sigma², in coordinates. V is linear in Sigma² and the blocks' variances,
// and so in a step along V itself and those along each G = ZZ'. The one along V adds nothing. With U_k = Z_kZ_k'H⁻¹QT,
// where Φ = Sigma²·T, and the covariance C of the ratios, the others add 2 Σ C_kl U_k'PU_l.
func (p *parts) addition(x *point, inverse [][]float64) *mat.SymDense {
	n := p.width - p.others
	e, c := x.outer.Slice(0, len(p.size), 0, p.width), x.inner.SliceSym(0, p.width)
	taken := mat.NewDense(p.width, n, nil) // K's columns of the coordinates, so that H⁻¹QT is H₁⁻¹[Z, Q] times it
	for l := range p.width {
		for j := range n {
			taken.Set(l, j, x.solved.At(l, p.others+j))
		}
	}
	along := make([]*mat.Dense, len(p.groups))  // Z_k'H⁻¹QT
	across := make([]*mat.Dense, len(p.groups)) // [Z, Q]'H₁⁻¹U_k
	along[0], across[0] = new(mat.Dense), new(mat.Dense)
	along[0].Mul(e, taken)
	across[0].Mul(e.T(), along[0])
	var all mat.Dense
	all.Mul(c, taken)
	for k, from := range p.from {
		own, of := all.Slice(from, p.to[k], 0, n), mat.NewDense(p.width, p.to[k]-from, nil)
		for l := range p.width {
			for j := from; j < p.to[k]; j++ {
				of.Set(l, j-from, c.At(l, j))
			}
		}
		along[k+1], across[k+1] = mat.DenseCopyOf(own), new(mat.Dense)
		across[k+1].Mul(of, own)
	}
	sum := mat.NewSymDense(n, nil)
	for l := range p.groups {
		for k := range l + 1 {
			var kept, lost, solved mat.Dense // U_k'H₁⁻¹U_l, and what the other blocks and the terms take of it
			if l == 0 {
				weighted := mat.DenseCopyOf(along[0])
				for j, d := range p.size {
					row := weighted.RawRowView(j)
					for i := range row {
						row[i] *= d / (1 + x.ratios[0]*d)
					}
				}
				kept.Mul(along[0].T(), weighted)
			} else {
				kept.Mul(across[k].Slice(p.from[l-1], p.to[l-1], 0, n).T(), along[l])
			}
			solved.Mul(x.solved, across[l])
			lost.Mul(across[k].T(), &solved)
			kept.Sub(&kept, &lost)
			for i := range n {
				for j := range i + 1 {
					by := 2 * inverse[1+k][1+l] * kept.At(i, j)
					if k != l {
						by += 2 * inverse[1+k][1+l] * kept.At(j, i)
					}
					sum.SetSym(i, j, sum.At(i, j)+by)
				}
			}
		}
	}
	return sum
}
