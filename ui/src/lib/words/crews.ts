// Words for several crews on one device, and for which jobs come here.
export const crews = {
  title: 'Crews on this device',
  current: 'its jobs are listed',
  unreadableHere: 'The book of this crew can’t be read on this device. Nothing of it is shown as genuine, and nothing can be recorded in it here.',
  unreadable: 'The book of a crew can’t be read on this device. Nothing of it is shown as genuine; the other crews are not touched by it.',
  book: (id: string) => `Book ${id}`,
  choose: 'List its jobs',
  keeps: 'Jobs that come here',
  all: 'Every job',
  chosen: 'Chosen ones',
  keepsHow: 'With “Chosen ones”, an exchange brings the jobs that are here already and those fetched from the list.',
  ended: 'This device was ended by its crew: nothing that it records counts any more. Take a new identity and be admitted again, or write on another device.',
  moreCards: (n: number) => `${n} more card${n === 1 ? '' : 's'} of devices that the crew does not know lie${n === 1 ? 's' : ''} in the folder. Cards of devices that nobody knows do nothing; whoever keeps the folder may delete them from its folder “devices”.`,
  nextCards: 'Show the next ones',
  saysItIs: (name: string) => `It says that it is ${name}’s.`
};
