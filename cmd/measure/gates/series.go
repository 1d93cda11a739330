package gates

import (
	"fmt"
	"slices"

	"breakbook/models/lists"
)

// Series is everything one seed gives: the main series in the order it was broken, the
// two earlier ones, and the names of the joints whose load-slip readings were kept.
type Series struct {
	Truth               Truth
	Seed                uint64
	Gates, Spring, Old  []Joint
	Slip                []Joint // of Gates
	Spoiled, NotWritten int
}

// DemoSeed is the seed of the committed files: the first, from 1 on, whose main series
// gives every answer that TRUTH.md says it should.
const DemoSeed = 3

// Make invents the series of a seed.
func Make(t Truth, seed uint64) Series {
	all := Series{Truth: t, Seed: seed}
	all.Gates, all.Spoiled = makeGates(t, newSource(seed, 1))
	all.Slip = pickForSlip(all.Gates, newSource(seed, 2))
	all.NotWritten = leaveUnwritten(all.Gates, all.Slip, newSource(seed, 3))
	all.Spring = makeSpring(t, newSource(seed, 4))
	all.Old = makeOld(t, newSource(seed, 5))
	return all
}

// board is a plank that several joints were cut from.
type board struct {
	name    string
	oak     bool
	density float64
	adds    float64
}

// makeBoards draws n boards, the first half larch and the rest oak.
func makeBoards(t Truth, s source, n int) []board {
	boards := make([]board, n)
	for i := range boards {
		b := board{name: fmt.Sprintf("L%d", i+1)}
		mean := t.LarchMean
		if i >= n/2 {
			b.oak, b.name, mean = true, fmt.Sprintf("K%d", i+1-n/2), t.OakMean
		}
		b.density = s.bell(mean, t.BoardDensitySD)
		b.adds = s.bell(0, t.BoardSD)
		boards[i] = b
	}
	return boards
}

// makeGates cuts four joints from each of sixteen boards, one of each pin pattern, so
// laid out that over every four boards each pattern meets each thickness in each place
// once; shuffles them into the order of breaking; and loses the spoiled ones.
func makeGates(t Truth, s source) (joints []Joint, spoiled int) {
	var adds []float64
	for i, b := range makeBoards(t, s, 16) {
		for pins := range pinLevels {
			turn := (pins + i) % 4
			j := Joint{
				Name: fmt.Sprintf("G%02d", 4*i+pins+1), Board: b.name, Oak: b.oak, Pins: pins,
				Density:   toStep(b.density+s.bell(0, t.JointDensitySD), 1),
				Thickness: 34 + 10*(turn%2), Store: turn >= 2,
			}
			j.Temp = t.glueRoom(s, j.Store)
			joints, adds = append(joints, j), append(adds, b.adds)
		}
	}
	s.Shuffle(len(joints), func(a, b int) {
		joints[a], joints[b] = joints[b], joints[a]
		adds[a], adds[b] = adds[b], adds[a]
	})
	for i := range joints {
		j := &joints[i]
		j.Day = i * len(dayLevels) / len(joints)
		load, failure := t.breaks(s, *j, adds[i])
		j.Load, j.Failure = toStep(load, 1/t.GaugeStep), failure
	}
	kept := spoil(joints)
	return kept, len(joints) - len(kept)
}

// spoil drops joints that never came to the bench: the drill wandered in five offset
// joints of oak and one of larch, and a single-pinned one split while it was driven home.
func spoil(joints []Joint) []Joint {
	lose := map[string]int{"offset oak": 5, "offset larch": 1, "single larch": 1}
	return slices.DeleteFunc(slices.Clone(joints), func(j Joint) bool {
		kind := pinLevels[j.Pins] + " " + j.species()
		if lose[kind] == 0 {
			return false
		}
		lose[kind]--
		return true
	})
}

// pickForSlip picks three joints of each pin pattern whose slip was logged.
func pickForSlip(joints []Joint, s source) []Joint {
	var picked []Joint
	for pins := range pinLevels {
		these := lists.Where(joints, func(j Joint) bool { return j.Pins == pins })
		s.Shuffle(len(these), func(a, b int) { these[a], these[b] = these[b], these[a] })
		picked = append(picked, these[:3]...)
	}
	return picked
}

// leaveUnwritten leaves one cell empty in each of four columns, on four joints without
// slip readings, and says how many.
func leaveUnwritten(joints, slip []Joint, s source) int {
	columns := []string{"load", "density", "temp", "failure"}
	blanks := columns
	for _, i := range s.Perm(len(joints)) {
		j := &joints[i]
		logged := slices.ContainsFunc(slip, func(k Joint) bool { return k.Name == j.Name })
		if len(blanks) == 0 || logged {
			continue
		}
		j.Unwritten = map[string]bool{blanks[0]: true}
		blanks = blanks[1:]
	}
	return len(columns) - len(blanks)
}

// makeSpring is an earlier series: 24 joints of 34 mm from eight boards, no offset pins.
func makeSpring(t Truth, s source) []Joint {
	var joints []Joint
	for i, b := range makeBoards(t, s, 8) {
		for pins := range 3 {
			j := Joint{
				Name: fmt.Sprintf("S%02d", 3*i+pins+1), Board: b.name, Oak: b.oak, Pins: pins,
				Density:   toStep(b.density+s.bell(0, t.JointDensitySD), 1),
				Thickness: 34, Store: (pins+i)%2 == 1,
			}
			j.Temp = t.glueRoom(s, j.Store)
			load, failure := t.breaks(s, j, b.adds)
			j.Load, j.Failure = load+t.SpringAdds, failure
			joints = append(joints, j)
		}
	}
	s.Shuffle(len(joints), func(a, b int) { joints[a], joints[b] = joints[b], joints[a] })
	unwritten := s.IntN(len(joints))
	joints[unwritten].Unwritten = map[string]bool{"load": true}
	joints[(unwritten+1+s.IntN(len(joints)-1))%len(joints)].Slipped = true
	return joints
}

// makeOld is the oldest series: 18 joints, all glued in the shed, up to two pegs.
func makeOld(t Truth, s source) []Joint {
	var joints []Joint
	for i, b := range makeBoards(t, s, 6) {
		for pins := range 3 {
			j := Joint{
				Name: fmt.Sprint(3*i + pins + 1), Board: b.name, Oak: b.oak, Pins: pins,
				Density:   toStep(b.density+s.bell(0, t.JointDensitySD), 0.1),
				Thickness: 34 + 10*((pins+i)%2),
			}
			j.Temp = t.glueRoom(s, false)
			load, failure := t.breaks(s, j, b.adds)
			j.Load, j.Failure = load+t.OldAdds, failure
			joints = append(joints, j)
		}
	}
	return joints
}

// glueRoom draws the temperature a joint's glue cured at.
func (t Truth) glueRoom(s source, store bool) float64 {
	if store {
		return toStep(s.bell(t.StoreTemp, t.StoreSD), 10)
	}
	return toStep(s.bell(t.ShedTemp, t.ShedTempSD), 10)
}

func (j Joint) species() string {
	if j.Oak {
		return "oak"
	}
	return "larch"
}

func (j Joint) place() string {
	if j.Store {
		return "store"
	}
	return "shed"
}
