// Command tussock maps where a region's look-alike animals could live, and
// where volunteers should look for them.
package main

import (
	"context"
	"os"
	"os/signal"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// interruptible gives a context that ends at the first interrupt, so that the
// work at hand is finished; the second interrupt ends the program at once.
func interruptible() (context.Context, func()) {
	ctx, cancel := context.WithCancel(context.Background())
	signals := make(chan os.Signal, 2)
	signal.Notify(signals, os.Interrupt)
	go func() {
		if _, ok := <-signals; !ok {
			return
		}
		cancel()
		if _, ok := <-signals; ok {
			os.Exit(exitInterrupted)
		}
	}()
	return ctx, func() { signal.Stop(signals); close(signals); cancel() }
}
