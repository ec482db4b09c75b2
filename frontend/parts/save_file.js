// Hand a person a file of their own entries.

/** @param {string} text JSON */
export function saveFile(text) {
  const url = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const link = document.createElement("a");
  link.href = url;
  link.download = "tuckline-unsent.json";
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
