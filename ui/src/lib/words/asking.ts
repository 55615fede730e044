// What the survey asks one by one: why, and how a question is left.
export const asking = {
  asking: {
    left: (n: number) => (n === 1 ? 'The last question.' : `${n} questions, this one with them.`),
    skipAll: 'Skip all questions',
    site: 'Site',
    /** What goes by a fact; of an opening by its kind. */
    why: {
      pool: 'Whether horizontal wires may stand here at all goes by it.',
      children: 'The handover tells it to the inspector.',
      fall: 'Whether a barrier is asked for, and what may help climbing, go by it.',
      below: 'The handover tells it beside the fall.',
      climbables: 'The handover tells it to the inspector.',
      saltDistance: 'The grade of the steel and how often it is washed go by it.',
      chlorine: 'The grade of the steel goes by it.',
      washedByRain: 'How often the wires are washed goes by it.',
      steel: 'Strand and fittings are ordered by it.',
      dissimilarMetals: 'Where they touch they are kept apart.',
      drillingHazards: 'Before the first hole is drilled.',
      access: 'For whoever brings reels and posts.',
      comingFloor: 'It takes from the height of the barrier.',
      surface: 'Height and the sphere that is offered go by it.',
      slope: 'Spacings and lengths on a rake go by it.',
      height: 'The rules ask for a least height.',
      rail: 'The gap above the top wire goes by it, and how far posts move.',
      support: 'A spreader is no post for the table.',
      section: 'Clear bays and what the wires ask of a post go by it.',
      base: 'What the pull asks of its fixings goes by it. It may be covered soon.',
      railJoint: 'Whether the rail props the post goes by it. It may be covered soon.',
      material: 'What the wires ask of the post goes by it.',
      condition: 'A soft or split post takes no pull.',
      floor: 'The gap below the bottom wire goes by it.',
      end: 'Terminals and inserts are counted by it, each hand apart.',
      followsFloor: 'The gap below the bottom wire goes by it.',
      railFollowsFloor: 'The gap above the top wire goes by it.',
      lining: 'Linings are counted by it.',
      endPostToWall: 'A gap to measure now; where no wall stands, skip it.',
      postToDeckEdge: 'A gap to measure now; where posts stand on the floor, skip it.'
    } as Record<string, string>
  }
};
