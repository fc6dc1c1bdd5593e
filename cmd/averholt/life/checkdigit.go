package life

import "fmt"

// checkDigit is the digit that makes a run of digits pass ISO/IEC 7064 MOD
// 11,10, so that one digit misheard on the telephone is noticed.
func checkDigit(digits string) int {
	p := 10
	for _, c := range digits {
		s := (p + int(c-'0')) % 10
		if s == 0 {
			s = 10
		}
		p = 2 * s % 11
	}
	return (11 - p) % 10
}

// numbered is an id such as P-0127-4: a letter, a number and its check digit.
func numbered(letter string, width, n int) string {
	digits := fmt.Sprintf("%0*d", width, n)
	return fmt.Sprintf("%s-%s-%d", letter, digits, checkDigit(digits))
}
