package auth

import (
	"slices"
	"strings"
)

// Role is what somebody does in the storeroom.
type Role string

// The roles. A supervisor may do everything; a viewer, such as an auditor, only reads.
const (
	Clerk      Role = "clerk"
	Technician Role = "technician"
	Purchaser  Role = "purchaser"
	Supervisor Role = "supervisor"
	Viewer     Role = "viewer"
)

// Roles lists every role.
func Roles() []Role { return []Role{Clerk, Technician, Purchaser, Supervisor, Viewer} }

// Known tells whether r is a role at all.
func (r Role) Known() bool { return slices.Contains(Roles(), r) }

// list writes roles as people say them: "a clerk, a purchaser or a supervisor".
func list(roles []Role) string {
	words := make([]string, len(roles))
	for i, r := range roles {
		words[i] = "a " + string(r)
	}
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " or " + words[last]
}
