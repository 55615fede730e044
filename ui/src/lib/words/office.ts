export const office = {};
