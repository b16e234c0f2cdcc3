/** Hands a file to the browser's downloads. */
export function download(name: string, file: Blob): void {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(file);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** As JSON, UTF-8. */
export const downloadJson = (name: string, value: unknown, type = 'application/json'): void =>
  download(name, new Blob([`${JSON.stringify(value, null, 2)}\n`], { type }));
