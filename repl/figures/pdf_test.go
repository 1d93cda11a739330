package figures

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A PDF is small, has its title, and its words are read back by another program.
func TestPDFHasItsTitleAndLittleTypeface(t *testing.T) {
	f := levelled(fewNames, 10)
	f.Title = "Überlänge × 木 ½"
	b, err := Bytes(t.Context(), f, "pdf")
	if err != nil {
		t.Fatal(err)
	}
	if len(b) > 60_000 {
		t.Errorf("the PDF has %d bytes", len(b))
	}
	for _, tool := range []string{"pdfinfo", "pdftotext"} {
		path, err := exec.LookPath(tool)
		if err != nil {
			t.Skip(tool + " is not here to read the PDF with")
		}
		name := filepath.Join(t.TempDir(), "f.pdf")
		if err := os.WriteFile(name, b, 0o666); err != nil {
			t.Fatal(err)
		}
		args := []string{name}
		if tool == "pdftotext" {
			args = append(args, "-")
		}
		var problems bytes.Buffer
		cmd := exec.Command(path, args...)
		cmd.Stderr = &problems
		out, err := cmd.Output()
		if err != nil || problems.Len() > 0 {
			t.Errorf("%s: %v, %s", tool, err, problems.String())
		}
		want := "Break load (kgf)"
		if tool == "pdfinfo" {
			want = "Überlänge × □ ½"
		}
		if !strings.Contains(string(out), want) {
			t.Errorf("%s says %q, without %q", tool, out, want)
		}
	}
}
