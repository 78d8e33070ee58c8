package sqlite

import (
	"fmt"
	"os"
	"os/exec"
	"syscall"
	"testing"
)

// The test program plays a second process when this variable names a role.
const roleVariable = "SHAFTBOOK_TEST_ROLE"

var roles = map[string]func(args []string) error{
	"write under load": writeUnderLoad,
	"fill a disk":      fillDisk,
	"open":             openAndWrite,
}

func TestMain(m *testing.M) {
	role, ok := roles[os.Getenv(roleVariable)]
	if !ok {
		os.Exit(m.Run())
	}
	if err := role(os.Args[1:]); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
}

// child prepares a process of the test program in a role. The program is named
// by /proc/self/exe, which a user without access to its folder can start too.
func child(role string, attributes *syscall.SysProcAttr, args ...string) *exec.Cmd {
	c := exec.Command("/proc/self/exe", args...)
	c.Env = append(os.Environ(), roleVariable+"="+role)
	c.SysProcAttr = attributes
	return c
}
