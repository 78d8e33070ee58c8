package derive

const mostCases = 1000
