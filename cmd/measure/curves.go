package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"breakbook/cmd/measure/typed"
	"breakbook/frames/curvefiles"
	"breakbook/frames/units"

	"github.com/spf13/pflag"
)

// curveSeed starts the noise of the invented readings.
const curveSeed = 20

// measureCurves times reading and measuring load–slip readings, through the program's
// own command on a series of that many specimens.
func measureCurves(ctx context.Context, args []string, out io.Writer) error {
	flags := pflag.NewFlagSet("curves", pflag.ContinueOnError)
	specimens := flags.Int("specimens", 1000, "how many curves")
	readings := flags.Int("readings", 1000, "how many readings a curve")
	times := flags.Int("times", 5, "how often; the median is shown")
	if err := flags.Parse(args); err != nil {
		return err
	}
	if *specimens < 1 || *readings < 5 || *times < 1 {
		return fmt.Errorf("at least one specimen, five readings and one time are needed")
	}
	folder, err := os.MkdirTemp("", "measure")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	series, log := curveFiles(*specimens, *readings)
	path := filepath.Join(folder, "log.csv")
	if err := os.WriteFile(path, log, 0o600); err != nil {
		return err
	}
	var reads, command []time.Duration
	measured := 0.
	for range *times {
		started := time.Now()
		if _, _, err := curvefiles.Read(ctx, []string{path}, curvefiles.Columns{Key: "specimen"},
			units.Unit{}); err != nil {
			return err
		}
		reads = append(reads, time.Since(started))
		took, n, err := readAndMeasure(ctx, series, path)
		if err != nil {
			return err
		}
		command, measured = append(command, took), n
	}
	fmt.Fprintf(out, "%d readings of %d specimens, %.1f MB; median of %d:\n", *readings**specimens, *specimens,
		float64(len(log))/1e6, *times)
	fmt.Fprintf(out, "  reading alone                 %.3f s\n", median(reads))
	fmt.Fprintf(out, "  read curves, all of it        %.3f s, %.0f curves measured\n", median(command), measured)
	return nil
}

// readAndMeasure times `read curves` of a file on an open series and gives how many it measured.
func readAndMeasure(ctx context.Context, series, log string) (time.Duration, float64, error) {
	var b typed.Book
	if err := b.Open(ctx, "joints", series); err != nil {
		return 0, 0, err
	}
	started := time.Now()
	e, err := b.Run(ctx, "read curves "+log+" by specimen")
	took := time.Since(started)
	if err != nil {
		return took, 0, err
	}
	measured := typed.Value(e, "measured").Num
	if math.IsNaN(measured) {
		return took, 0, fmt.Errorf("read curves does not say how many were measured")
	}
	return took, measured, nil
}

func median(all []time.Duration) float64 {
	slices.Sort(all)
	return all[len(all)/2].Seconds()
}

// curveFiles invents a series and its load–slip log: a toe, a straight line, a rounded
// top at a tenth of a millimetre short of 3 mm, a drop to six tenths, and pins that carry
// on; loads in N with the noise of a gauge of 0.1 N.
func curveFiles(specimens, readings int) (series string, log []byte) {
	random := rand.New(rand.NewPCG(curveSeed, 0))
	var joints, text bytes.Buffer
	w := bufio.NewWriter(&text)
	joints.WriteString("specimen,pins\n")
	w.WriteString("Specimen,Slip (mm),Load (N)\n")
	for i := range specimens {
		name := "J" + strconv.Itoa(i+1)
		joints.WriteString(name + ",pair\n")
		most := 2000 + 500*random.Float64()
		for j := range readings {
			slip := 6 * float64(j) / float64(readings)
			load := most*inventedCurve(slip) + random.NormFloat64()
			w.WriteString(name + "," + strconv.FormatFloat(slip, 'f', 3, 64) +
				"," + strconv.FormatFloat(load, 'f', 1, 64) + "\n")
		}
	}
	w.Flush() // into memory: it cannot fail
	return joints.String(), text.Bytes()
}

// inventedCurve is the load at a slip in mm, as a share of the largest.
func inventedCurve(slip float64) float64 {
	const toe, top = 0.2, 2.9
	switch {
	case slip < toe:
		return 0.1 * (slip / toe) * (slip / toe)
	case slip < top:
		return 0.1 + 0.9*math.Sin((slip-toe)/(top-toe)*math.Pi/2)
	case slip < 5:
		return 0.6 + 0.1*(slip-top)/(5-top)
	}
	return 0.7 - 0.6*(slip-5)
}
