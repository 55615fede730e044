// Words of exchange, rules, evidence and handover.
export const office = {};
