// What is kept here and what is shared, as one short line for every screen.

export const exchange: { short: string; allShared: boolean } = $state({ short: 'kept here', allShared: false });
