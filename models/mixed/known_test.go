package mixed

import (
	"context"
	"fmt"
	"testing"

	"breakbook/models/design"
)

// Three series known to differ by a given sd. The figures are by dense matrices in numpy 1.24.2: −2 ln of the
// restricted likelihood of V = v·I + sd²·ZZ' made smallest in v by scipy 1.10.1 (optimize.minimize_scalar) and Newton
// steps on its derivative, coefficients by (X'V⁻¹X)⁻¹X'V⁻¹y, and degrees of freedom 2C²/((dC/dv)²/information) with
// the observed information about v.
func TestSeriesKnownToDiffer(t *testing.T) {
	y := []float64{402, 431, 396, 455, 479, 408, 386, 432, 461, 429, 483, 473, 420, 377, 445}
	m := design.Model{Variables: []design.Variable{
		{Name: "pins", Levels: []string{"none", "pair"}, Codes: []int{0, 0, 1, 0, 1, 0, 0, 1, 1, 0, 1, 1, 0, 0, 1}},
		{Name: "density", Numbers: []float64{600, 612, 598, 621, 607, 603, 605, 611, 599, 618, 602, 640, 590, 601,
			615}},
	}, Terms: []design.Term{{Factors: []design.Factor{{Variable: 0}}}, {Factors: []design.Factor{{Variable: 1}}}}}
	series := Block{Codes: []int{0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2, 2}}
	for _, c := range []struct {
		sd, sigma, likelihood float64
		estimate, se, df      []float64
	}{
		{8, 27.133749158223985, -56.718729334542346, []float64{415.0722517661897, 35.48697572098011,
			0.9646317329551255}, []float64{10.790010544329425, 14.366275700652633, 0.6078878632965451},
			[]float64{18.066646432314535, 11.999468073492423, 11.767500813002597}},
		{40, 28.53253255856843, -58.68545480670302, []float64{414.56840975718865, 35.789211187045495,
			0.9659101140372112}, []float64{25.343185428873486, 15.328968940837663, 0.6400186804618077},
			[]float64{363.6883426889169, 10.445245961594615, 10.371001394764756}},
	} {
		f, err := SolveKnown(context.Background(), y, m, series, c.sd, Restricted)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("sd %v: sigma", c.sd), f.Sigma, c.sigma, 1e-9)
		near(t, fmt.Sprintf("sd %v: of the series", c.sd), f.Components[0].SD, c.sd, 1e-12)
		near(t, fmt.Sprintf("sd %v: likelihood", c.sd), f.LogLikelihood, c.likelihood, 1e-10)
		for i, row := range f.Coefficients {
			near(t, fmt.Sprintf("sd %v: coefficient %d", c.sd, i), row.Estimate, c.estimate[i], 1e-9)
			near(t, fmt.Sprintf("sd %v: standard error %d", c.sd, i), row.SE, c.se[i], 1e-9)
			near(t, fmt.Sprintf("sd %v: degrees of freedom %d", c.sd, i), row.DF, c.df[i], 1e-7)
		}
	}
}
