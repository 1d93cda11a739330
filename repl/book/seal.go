package book

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"path/filepath"
	"strings"
)

// A seal is the last line of a file that breakbook wrote: a comment with the SHA-256 of
// all before it. It travels with the file, so that a book carried to another machine is
// still known for what breakbook wrote, or for what somebody changed since.

// sealMarks are what stands before and after the 64 digits, by the ending of the file.
// Other kinds of file have no place for a seal.
func sealMarks(path string) (before, after string, ok bool) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".brk":
		return "# written by breakbook, sha256 ", "\n", true
	case ".svg", ".html", ".htm", ".md", ".markdown":
		return "<!-- written by breakbook, sha256 ", " -->\n", true
	}
	return "", "", false
}

// sealed is the content with its seal, where a file of that ending can carry one.
func sealed(path string, content []byte) []byte {
	before, after, ok := sealMarks(path)
	if !ok {
		return content
	}
	if len(content) > 0 && content[len(content)-1] != '\n' {
		content = append(bytes.Clone(content), '\n')
	}
	sum := sha256.Sum256(content)
	return append(bytes.Clone(content), before+hex.EncodeToString(sum[:])+after...)
}

// sealFits reports whether content ends in a seal of all before it.
func sealFits(path string, content []byte) bool {
	before, after, ok := sealMarks(path)
	cut := len(content) - len(before) - 2*sha256.Size - len(after)
	return ok && cut > 0 && bytes.Equal(content, sealed(path, content[:cut]))
}
