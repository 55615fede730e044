// Which jobs the list shows and in what order: as it was left while the page is open. A new start shows all, so that
// no job seems to be gone.
export const only = $state({ find: '', whose: '', lacking: false, sort: '' });
