export const work = {};
