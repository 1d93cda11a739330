// Package gates invents the test series of the demo: corner joints of garden gates,
// broken on the bench. What truly drives their strength is set down here, so that an
// analysis can be held against it.
package gates

// Truth is what was put into the joints. Loads are in kgf, densities in kg/m3.
//
// Each joint could give way in three places; the weakest one shows, and its load is
// the breaking load. All three share the joint's own level: what its pins add, what
// its density adds, its board, and what differs from joint to joint.
type Truth struct {
	GlueInShed float64 // strength of the glue line without pins, at MeanDensity, glued in the shed
	StoreAdds  float64 // what the warm store adds to the glue line, and to nothing else
	Wood       float64 // strength of the wood of the same joint
	Pin        float64 // strength of the pins of the same joint, beyond what they add to all three

	PinsAdd      [4]float64 // to all three, by pin pattern
	DensitySlope float64    // to all three, kgf per kg/m3
	ThicknessAdd float64    // of 44 mm over 34 mm, to all three
	OakAdds      float64    // of oak over larch beyond its density, to all three
	DayAdds      [3]float64 // by test day
	DegreeAdds   float64    // per degC beyond the place

	BoardSD float64 // one draw a board, shared by its joints
	JointSD float64 // one draw a joint, shared by its three places
	PlaceSD float64 // one draw for each of the three places of a joint

	MeanDensity          float64
	LarchMean, OakMean   float64
	BoardDensitySD       float64 // from board to board
	JointDensitySD       float64 // along one board
	ShedTemp, StoreTemp  float64 // degC
	ShedTempSD, StoreSD  float64
	SpringAdds, OldAdds  float64 // what sets the two earlier series apart: another bench, another glue
	StiffnessKgfPerMM    [4]float64
	GaugeStep, SlipNoise float64 // reading step of the load gauge; half width of the logger's noise
}

// Pins, Species and the other words of the series; the first of each is the baseline.
var (
	pinLevels = [4]string{"none", "single", "pair", "offset"}
	dayLevels = [3]string{"d1", "d2", "d3"}
)

// Known is the truth behind the committed demo series.
func Known() Truth {
	return Truth{
		GlueInShed: 262, StoreAdds: 60, Wood: 318, Pin: 325,
		PinsAdd:      [4]float64{0, 38, 95, 111},
		DensitySlope: 0.40,
		BoardSD:      5, JointSD: 12, PlaceSD: 22,
		MeanDensity: 640, LarchMean: 600, OakMean: 680, BoardDensitySD: 36, JointDensitySD: 14,
		ShedTemp: 6.5, ShedTempSD: 0.8, StoreTemp: 20.5, StoreSD: 0.6,
		SpringAdds: -10, OldAdds: 12,
		StiffnessKgfPerMM: [4]float64{120, 135, 170, 165},
		GaugeStep:         0.5, SlipNoise: 0.4,
	}
}
