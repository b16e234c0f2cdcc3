/** Hands a file to the browser's downloads: JSON, UTF-8. */
export function downloadJson(name: string, value: unknown, type = 'application/json'): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([`${JSON.stringify(value, null, 2)}\n`], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
