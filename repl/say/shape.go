package say

import (
	"strings"
)

// ShortList names a few things and says that there are more.
func ShortList(names []string) string {
	const most = 12
	if len(names) > most {
		return strings.Join(names[:most], ", ") + " and more"
	}
	return strings.Join(names, ", ")
}
