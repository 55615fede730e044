// Passing a file on through the device's own list of apps, where there is one that takes files.

/** Whether this device passes PDFs on. Some know of sharing and take words alone. */
export function canShareOut(): boolean {
  if (typeof navigator === 'undefined' || typeof navigator.share !== 'function' || typeof navigator.canShare !== 'function') return false;
  return navigator.canShare({ files: [new File(['%PDF-'], 'a.pdf', { type: 'application/pdf' })] });
}

/** Opens the device's list for a file: passed on, closed again by the person, or not possible after all. Never fails. */
export async function shareOut(file: File): Promise<'shared' | 'closed' | 'refused'> {
  const files = [file];
  if (!navigator.canShare({ files })) return 'refused';
  try {
    await navigator.share({ files });
    return 'shared';
  } catch (fault) {
    return fault instanceof DOMException && fault.name === 'AbortError' ? 'closed' : 'refused';
  }
}
