// Text to the clipboard. Where the webview has no way of its own, a selection is copied.

/** Copies a text; throws where nothing was copied. */
export async function copyText(text: string): Promise<void> {
  try {
    await navigator.clipboard.writeText(text);
  } catch (fault) {
    if (!bySelection(text)) throw fault;
  }
}

function bySelection(text: string): boolean {
  const before = document.activeElement;
  const field = document.createElement('textarea');
  field.className = 'hidden';
  field.value = text;
  document.body.append(field);
  field.select();
  // The one way of webviews that know no other.
  const done = document.execCommand('copy');
  field.remove();
  if (before instanceof HTMLElement) before.focus({ preventScroll: true });
  return done;
}
