// Words of marking a copy of a picture.
const SHARE = 10;
const percent = (n: number) => `${Math.round(n / SHARE)} %`;

export const marking = {
  marking: {
    mark: 'Mark',
    title: (caption: string) => `Mark: ${caption}`,
    tool: 'What to draw',
    tools: { arrow: 'Arrow', ring: 'Ring', text: 'Words' },
    /** What a finger does with each. */
    how: { arrow: 'Draw from the end to the head.', ring: 'Draw across what it goes around.', text: 'Type the words, then touch where they go.' },
    /** The same by keys. */
    keys: 'By keys: arrow keys move the cross, finely with Shift; Enter sets it. An arrow and a ring are set twice: where they begin and where they end.',
    words: 'The words',
    wordsHint: (most: number) => `At most ${most} characters.`,
    typeFirst: 'Type the words first.',
    drawFurther: 'Draw with the finger down; a touch alone draws nothing.',
    full: (most: number) => `A picture takes ${most} marks. Take one off first.`,
    begun: (at: string) => `It begins at ${at}. Move the cross to where it ends and press Enter.`,
    cross: (at: string) => `Cross at ${at}.`,
    added: (mark: string) => `Drawn: ${mark}.`,
    takenOff: (mark: string) => `Taken off: ${mark}.`,
    takeOff: 'Take off the last',
    leave: 'Leave without keeping',
    kept: 'Marks kept; the picture itself is unchanged',
    freed: 'Marks taken off',
    none: 'Nothing is marked.',
    meanwhile: (told: string) => `It was marked anew meanwhile: ${told}. Keep puts yours in the place of that.`,
    nothing: 'nothing',
    stage: 'Picture to draw on',
    drawn: 'Marks so far',
    /** Of a picture among others. */
    marked: (told: string) => `marked: ${told}`,
    differs: 'marked differently',
    markedNewer: 'marked by a newer version',
    markedBy: (told: string, who: string, when: string) => `Marked: ${told}. ${who}, ${when}.`,
    without: 'Without marks',
    differ: 'People marked this picture differently. It is shown without marks until one of them is taken.',
    newer: 'A newer version marked this picture in a way that is not known here. It is shown without marks.',
    arrows: (n: number) => (n === 1 ? 'an arrow' : `${n} arrows`),
    rings: (n: number) => (n === 1 ? 'a ring' : `${n} rings`),
    quoted: (text: string) => `“${text}”`,
    at: (x: number, y: number) => `${percent(x)} across, ${percent(y)} down`,
    fromTo: (from: string, to: string) => `from ${from} to ${to}`
  }
};
