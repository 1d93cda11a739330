package bench

import (
	"reflect"
	"testing"
)

// A sketch shows what the picture of the same words shows, and goes to no file.
func TestSketchIsThePictureInText(t *testing.T) {
	b := newBench(t)
	b.run("open gates.csv")
	for _, words := range []string{"load by pins for species is oak confidence 90%", "load against density from gates",
		"load against density by pins"} {
		picture, sketch := b.run("draw "+words), b.run("sketch "+words)
		if sketch.Sketch == nil || !reflect.DeepEqual(*sketch.Sketch, picture.Figures[0]) {
			t.Errorf("sketch %s is not what draw %s draws", words, words)
		}
		if len(sketch.Figures) != 0 || !reflect.DeepEqual(sketch.Findings, picture.Findings) ||
			!reflect.DeepEqual(sketch.Specimens, picture.Specimens) {
			t.Errorf("sketch %s: figures %v, findings %v", words, sketch.Figures, sketch.Findings)
		}
	}
}
