/**
 * Every prompt the kiosk itself may say, with the slots it fills besides those of the visit
 * ({medicine} {timesADay} {callNumber} {emergencyNumber} {careTeam} may stand in any prompt).
 * phrasebanks/common/<lang>.json holds exactly these keys under `prompts`; one prompt is one or two
 * short sentences.
 */
export const promptSlots = {
  // Start
  welcome: [], // who speaks, and that words are written down but no voice is recorded
  cloudQuestion: [], // no ear here knows the language: may the voice go over the internet? (two buttons)
  cloudTouch: [], // after it: a no is fine, then it goes by touch and typing; press yes or no
  welcomeCloud: [], // in place of welcome after a yes: who speaks, and that the voice leaves this device
  practiceNote: [], // said first on a practice visit
  switchOne: [], // to who presses one switch: press it when the button that you want is pointed at
  switchTwo: [], // to who presses two: one goes on, the other chooses
  soundCheck: [], // "can you hear me well?" (yes or no)
  soundCheckFine: [],
  soundCheckAgain: [], // we did not hear you; asks the same once more
  soundCheckLouder: [], // you said no: now louder; asks the same once more
  soundTooQuiet: [], // heard faintly: come closer or speak louder, and say yes again
  soundTooLoud: [], // the sound was cut off: a little softer, and say yes again
  soundTooNoisy: [], // the room drowns the voice: close the door, turn the TV off, and say yes again
  soundCheckGoOn: [], // that did not help twice: we go on; touch works as well
  questionsFirst: [], // "do you have a question before we start?" (yes or no)
  shallWeGoOn: [], // after an interruption (yes or no)
  recheckIntro: ['device'], // before questionsFirst: some days ago we taught {device}, now we ask about parts of it
  sittingNow: ['device'], // before questionsFirst: the next lesson begins, about {device}

  // Teaching and asking
  stepCount: ['index', 'count'], // where we are, at the start of each step
  stepLead: ['title'], // after it: the name of the part that comes now
  yourTurn: [], // after the question: speak when you are ready
  takeYourTime: [], // shown only, while the microphone stays open
  iHeard: ['text'], // says back what was heard, with its stop
  isThatRight: [], // after iHeard, when unsure (yes or no)
  yesOrNo: [], // the answer to a yes-no question was unclear
  sayItAgain: [], // we took it down badly; please tell us once more
  didNotHear: [], // nothing heard, first time; the question follows
  ownWordsPlease: [], // "next" was said in place of an answer; the question follows
  thinking: [], // shown while judging
  thanks: [],
  praise1: [], // all of it was there; said in turn
  praise2: [],
  praise3: [],
  creditLead: [], // some of it was there; before teaching the rest
  teachAgainLead: [], // we were not clear; before teaching in other words
  recheckTeachLead: [], // in place of it where nothing was taught yet today
  onePartMore: [], // before asking for one small missing piece
  tellMeThat: [], // after teaching again; before the narrower question
  teachSimplestLead: [], // before the shortest wording, on the last try
  personWillHelp: [], // after three tries: a person will go over what is named next

  // Touch
  useCards: [], // offers the cards
  cardsLead: [], // tap what fits; the question stands above
  cardsOrder: [], // in place of it where the order matters: tap what fits, then put it in order

  // Trouble with listening: one a reason, then troubleNext
  nothingHeard: [],
  microphoneDenied: [],
  noMicrophone: [],
  recogniserFailed: [],
  languageMissing: [],
  networkLost: [],
  listeningStopped: [],
  troubleNext: [], // try again, use the cards, or call for help
  notSaved: [], // shown: the record could not be stored yet; staff please look

  // Anywhere
  slowerNow: [], // said at once, the new way
  fasterNow: [],
  louderNow: [],
  quieterNow: [],
  asFarAsItGoes: [], // slower, faster, louder or quieter is not possible
  whereStart: ['count'], // where are we? before the first part
  whereEnd: [], // after the last part
  paused: [], // go on when ready; stop once more ends the visit
  helpComing: [], // staff were called; how else to call
  distressHelp: [], // words of distress were heard: staff were called, press the call button now
  helpOver: [],
  questionPlease: [], // "what would you like to know?"
  answerLead: [],
  questionKept: [], // no approved answer: kept for the care team

  // End
  showMeLead: [], // now show it with your hands, while the clinician watches
  summaryLead: [],
  summaryWell: [], // what was said back well is named next
  summaryPerson: [], // what a person will go over is named next
  whenToCallLead: [], // before the handout's whenToCall sentences
  anyQuestion: [], // "any other question?" (yes or no)
  finished: [],
  sittingNext: ['device'], // in place of finished, after thanks: next comes {device}
  sittingRest: [], // after it: rest if you like, then press the big button
  stopped: [],

  // Kiosk
  stillThere: [], // "are you still there?" (touch the screen or say yes)
  screenHidden: [], // shown on the covered screen: touch to go on
  parked: [], // shown: the visit is kept; staff can go on with it

  // Said besides, in audio-only mode: what can be said or pressed now
  canSayAnswer: [], // speak; press the big button when done; say "again", "slower", "question" or "help"
  canSayYesNo: [], // say yes or no, or press
  canSayTrouble: [], // press only: the ear is closed
  canSayCards: [], // press only
  canSayPaused: [], // say go on or stop, or press
  canSayShowMe: [], // press only
} as const satisfies Record<string, readonly string[]>;

export type PromptKey = keyof typeof promptSlots;

/** All keys, in the order above. */
export const promptKeys = Object.keys(promptSlots) as PromptKey[];
