// @ts-check
// A time zone is named as the database of time zones names it, which few know by
// heart: the browser lists them, and puts its own where none stands yet.

export function attachZones() {
  const fields = /** @type {NodeListOf<HTMLInputElement>} */ (document.querySelectorAll('.fields input[name="zone"]'));
  if (fields.length === 0) return;
  const list = document.createElement("datalist");
  list.id = "zones";
  for (const name of Intl.supportedValuesOf?.("timeZone") ?? []) list.append(new Option(name, name));
  for (const field of fields) {
    if (field.value === "" && !field.hasAttribute("aria-invalid")) field.value = Intl.DateTimeFormat().resolvedOptions().timeZone ?? "";
    field.after(list);
    field.setAttribute("list", list.id);
  }
}
