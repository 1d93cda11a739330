package book

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
)

// StateFolder is where breakbook keeps what it remembers from one run to the next: the
// fingerprints of the files it wrote, and journals. It is the place each system has for
// that, and need not be there yet:
//
//	Windows    %LocalAppData%\breakbook
//	macOS      ~/Library/Application Support/breakbook
//	elsewhere  $XDG_STATE_HOME/breakbook, or ~/.local/state/breakbook
//
// The error says that the system names no home folder for this user.
func StateFolder() (string, error) {
	switch runtime.GOOS {
	case "windows":
		if base := os.Getenv("LocalAppData"); base != "" {
			return filepath.Join(base, stateName), nil
		}
		return "", errors.New("%LocalAppData% names no folder")
	case "darwin", "ios":
		return underHome("Library", "Application Support")
	}
	if base := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(base) { // a relative one is to be ignored, says XDG
		return filepath.Join(base, stateName), nil
	}
	return underHome(".local", "state")
}

const stateName = "breakbook"

func underHome(parts ...string) (string, error) {
	home, err := os.UserHomeDir()
	if err != nil {
		return "", err
	}
	if !filepath.IsAbs(home) {
		return "", errors.New("the home folder " + home + " is not a whole path")
	}
	return filepath.Join(home, filepath.Join(parts...), stateName), nil
}
