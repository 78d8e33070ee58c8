// @ts-check
// The hint of the first visit. theme.js shows it before the first paint, so
// that nothing moves; it goes when it is answered, and after the first change.

export function attachHint() {
  const hint = document.querySelector(".js-hint");
  const seen = () => {
    document.documentElement.classList.remove("first");
    try {
      localStorage.setItem("shaftbook:seen", "1");
    } catch {
      // Then the hint comes again on the next page.
    }
  };
  hint?.querySelector("button")?.addEventListener("click", seen);
  return seen;
}
