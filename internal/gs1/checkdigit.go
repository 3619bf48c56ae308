package gs1

// ValidCheckDigit tells whether the last digit is the check digit of those before it, by which weights of 3 and 1
// alternate from the right. It is the same for every key of digits, whatever its length.
func ValidCheckDigit(text string) bool {
	if text == "" || !among(digits).has(text) {
		return false
	}
	sum := 0
	for i := range len(text) {
		digit := int(text[len(text)-1-i] - '0')
		sum += digit * (1 + i%2*2)
	}
	return sum%10 == 0
}

// The check pair of a model number weighs the places in the set of 82 with primes from the right, modulo 1021.
const (
	pairModulus  = 1021
	pairAlphabet = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"
)

var pairWeights = []int{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83}

func pair(text string) Problem {
	n := len(text) - 2
	if n < 1 || n > len(pairWeights) {
		return Length
	}
	sum := 0
	for i := range n {
		sum += placeIn82(text[n-1-i]) * pairWeights[i]
	}
	sum %= pairModulus
	if text[n] != pairAlphabet[sum/32] || text[n+1] != pairAlphabet[sum%32] {
		return CheckDigit
	}
	return ""
}

func placeIn82(c byte) int {
	for i := range len(set82) {
		if set82[i] == c {
			return i
		}
	}
	return 0
}

// iban wants the country in front and the remainder of ISO 7064, MOD 97-10.
func iban(text string) Problem {
	if len(text) < 5 || !oneOf("letters")(text[:2]) || !among(digits+capitals).has(text) {
		return Format
	}
	remainder := 0
	for _, c := range text[4:] + text[:4] {
		if c <= '9' {
			remainder = (remainder*10 + int(c-'0')) % 97
		} else {
			remainder = (remainder*100 + int(c-'A') + 10) % 97
		}
	}
	if remainder != 1 {
		return CheckDigit
	}
	return ""
}
