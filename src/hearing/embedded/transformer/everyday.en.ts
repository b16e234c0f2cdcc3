import { fillSlots } from '../everyday';

/*
 * A compact piece of everyday English, written for this project: how people talk when they explain what
 * they do at home. It teaches the recogniser the small words and the fillers that no list of accepted
 * phrases holds. Slots in braces are filled from `slots`, every filler once.
 */

const slots: Readonly<Record<string, readonly string[]>> = {
  who: ['i', 'you', 'we', 'they'],
  whoS: [
    'he',
    'she',
    'it',
    'my wife',
    'my husband',
    'my daughter',
    'my son',
    'the nurse',
    'the doctor',
    'the lady',
  ],
  must: [
    'have to',
    'need to',
    'got to',
    'gotta',
    'want to',
    'try to',
    'should',
    'would',
    'will',
    'can',
    "can't",
    "don't",
    'just',
    'always',
    'never',
    'usually',
    'also',
    'then',
    'could',
    'might',
    'must',
    "won't",
    "shouldn't",
    'better',
    'like to',
    'used to',
    'only',
    'really',
  ],
  mustS: [
    'has to',
    'needs to',
    'wants to',
    'said to',
    'told me to',
    'tells me to',
    'should',
    'will',
    'would',
    "doesn't",
    'can',
    'always',
    'just',
    'showed me how to',
    'makes sure to',
  ],
  do: [
    'do',
    'take',
    'put',
    'get',
    'make',
    'keep',
    'let',
    'go',
    'use',
    'hold',
    'turn',
    'give',
    'leave',
    'wash',
    'clean',
    'check',
    'call',
    'wait',
    'count',
    'look at',
    'push',
    'pull',
    'press',
    'shake',
    'rinse',
    'open',
    'close',
    'stop',
    'start',
    'breathe',
    'sit',
    'stand',
    'stay',
    'tell',
    'ask',
    'remember',
    'feel',
    'see',
    'hear',
    'know',
    'think',
    'try',
    'forget',
    'move',
    'change',
    'fill',
    'empty',
    'dry',
    'wipe',
    'squeeze',
    'spray',
    'carry',
    'bring',
    'read',
    'write',
    'eat',
    'drink',
    'sleep',
    'walk',
    'rest',
    'watch',
    'touch',
    'throw',
    'throw away',
    'pick up',
    'set',
    'have',
    'be',
    'say',
    'stick',
    'swallow',
    'spit',
    'blow',
    'smoke',
    'plug',
    'hang',
    'soak',
    'screw',
    'snap',
    'pop',
    'hook',
    'line',
    'point',
    'run',
    'cough',
    'finish',
  ],
  doing: [
    'doing',
    'taking',
    'putting',
    'getting',
    'making',
    'keeping',
    'letting',
    'going',
    'using',
    'holding',
    'turning',
    'leaving',
    'washing',
    'cleaning',
    'checking',
    'calling',
    'waiting',
    'counting',
    'looking at',
    'pushing',
    'pressing',
    'shaking',
    'rinsing',
    'opening',
    'closing',
    'stopping',
    'breathing',
    'sitting',
    'feeling',
    'having',
    'being',
    'trying',
    'running',
    'coughing',
    'squeezing',
  ],
  did: [
    'did',
    'took',
    'put',
    'got',
    'made',
    'kept',
    'let',
    'went',
    'used',
    'held',
    'turned',
    'gave',
    'left',
    'washed',
    'cleaned',
    'checked',
    'called',
    'waited',
    'forgot',
    'pushed',
    'pressed',
    'shook',
    'rinsed',
    'opened',
    'closed',
    'stopped',
    'told',
    'said',
    'showed',
    'tried',
    'had',
    'was',
    'felt',
    'saw',
    'heard',
    'thought',
    'knew',
  ],
  it: [
    'it',
    'that',
    'this',
    'them',
    'the thing',
    'that thing',
    'my medicine',
    'the medicine',
    'one',
    'another one',
    'the other one',
    'everything',
    'my hands',
    'the first one',
    'some water',
    'a little bit',
    'my mouth',
    'my breath',
    'the machine',
    'a few',
    'all of it',
    'each one',
    'the bottom',
    'the top',
    'the end',
    'both',
  ],
  where: [
    'in',
    'out',
    'on',
    'off',
    'up',
    'down',
    'away',
    'back',
    'in there',
    'on there',
    'in the back',
    'in the front',
    'on the top',
    'on the bottom',
    'at the end',
    'over there',
    'in my mouth',
    'into my mouth',
    'in the water',
    'in the kitchen',
    'in the bathroom',
    'in the sink',
    'on the table',
    'on a towel',
    'by the bed',
    'at home',
    'outside',
    'inside',
    'around it',
    'between my teeth',
    'in my lungs',
    'down in my lungs',
    'into the air',
    'through my nose',
    'through my mouth',
    'on my tongue',
    'all the way',
    'all the way in',
    'all the way out',
    'all the way down',
    'in my chest',
    'in my throat',
    'from my face',
    'away from it',
    'next to it',
    'under it',
    'at the same time',
    'together',
    'up straight',
    'in the drawer',
    'in my pocket',
    'in my purse',
    'in the car',
    'on the side',
    'to the hospital',
  ],
  when: [
    'first',
    'before',
    'after',
    'now',
    'again',
    'later',
    'once',
    'twice',
    'every day',
    'every time',
    'in the morning',
    'at night',
    'before bed',
    'each time',
    'the next day',
    'when i wake up',
    'when i am done',
    "when i'm done",
    'when it is empty',
    'once a week',
    'twice a day',
    'one at a time',
    'two times a day',
    'after that',
    'right away',
    'slowly',
    'slow and deep',
    'nice and slow',
    'real slow',
    'real good',
    'really well',
    'good and tight',
    'for a while',
    'for a minute',
    'for a few seconds',
    'as long as i can',
    'as much as i can',
    'until it stops',
    'at first',
    'no matter what',
    'even when i feel fine',
    'even if i feel good',
    'when i need it',
    'when i feel bad',
    'when i get short of breath',
    'before i eat',
    'after i eat',
    'right before',
    'right after',
    'in between',
    'the whole time',
    'at once',
    'just once',
    'or two',
    'or so',
    'too',
    'instead',
    'or something',
    'and all that',
    'like that',
    'like you said',
    'like you showed me',
    'or else',
    'that is it',
    "that's all",
    'a day',
    'a week',
    'a month',
    'all day',
    'day and night',
  ],
  n: [
    'one',
    'two',
    'three',
    'four',
    'five',
    'six',
    'seven',
    'eight',
    'nine',
    'ten',
    'twelve',
    'fifteen',
    'twenty',
    'thirty',
    'forty five',
    'sixty',
    'a couple of',
    'a few',
    'half a',
    'a hundred',
    'several',
    'about five',
    'about ten',
    'maybe five',
    'five or ten',
    'two or three',
    'three or four',
    'ten or fifteen',
  ],
  unit: [
    'seconds',
    'minutes',
    'hours',
    'days',
    'weeks',
    'months',
    'times',
    'feet',
    'puffs',
    'breaths',
    'times a day',
    'times a week',
    'years',
    'minutes later',
    'seconds or so',
    'at a time',
  ],
  um: [
    'um',
    'uh',
    'well',
    'so',
    'okay',
    'ok',
    'oh',
    'you know',
    'i mean',
    'like',
    'let me see',
    "let's see",
    'and then',
    'then',
    'and',
    'but',
    'or',
    'because',
    'first',
    'now',
    'yeah',
    'yes',
    'no',
    'no wait',
    'sorry',
    'i think',
    'i guess',
    'maybe',
    'after that',
    'and after that',
    'basically',
    'the way i understand it',
    'what i do is',
    'from what i remember',
    'i remember',
    'she said',
    'he said',
    'you said',
    'they said',
    'you told me',
    'i know',
    "i don't know",
    'next',
    'finally',
    'last',
    'if i remember right',
    'the main thing is',
    'the first thing is',
    'so basically',
    'hmm',
    'and so',
    'so then',
    'alright',
    'all right',
    'and also',
    'plus',
    'hm',
  ],
  desc: [
    'clean',
    'dry',
    'empty',
    'full',
    'wet',
    'open',
    'closed',
    'tight',
    'loose',
    'ready',
    'gone',
    'good',
    'bad',
    'fine',
    'better',
    'worse',
    'tired',
    'shaky',
    'sick',
    'dirty',
    'warm',
    'hot',
    'cold',
    'new',
    'old',
    'straight',
    'slow',
    'fast',
    'deep',
    'short of breath',
    'in trouble',
    'sore',
    'stuck',
    'on',
    'off',
    'done',
    'dangerous',
    'safe',
    'important',
    'hard',
    'easy',
    'right',
    'blue',
    'red',
    'white',
    'cloudy',
    'clogged',
    'low',
    'high',
    'broken',
    'sure',
    'afraid',
    'worried',
    'dizzy',
    'tight in the chest',
    'sleepy',
    'confused',
  ],
};

/** Patterns whose slots are filled in. */
export const patterns: readonly string[] = [
  '{um} {who} {must} {do}',
  '{who} {must} {do} {it}',
  '{whoS} {mustS} {do} {it}',
  '{do} {it} {where}',
  '{do} {it} {when}',
  '{it} {where} {when}',
  '{where} {when}',
  '{um} {do} {it}',
  '{um} {it} is {desc}',
  '{um} {um}',
  '{did} {it} {where}',
  '{who} {did} {it}',
  '{whoS} {did} {it}',
  'for {n} {unit}',
  'about {n} {unit}',
  '{n} {unit} {when}',
  'wait {n} {unit}',
  'every {n} {unit}',
  'start {doing} {it}',
  'keep {doing} {it}',
  'i am {doing} {it}',
  "i'm {doing}",
  'stop {doing}',
  'without {doing} {it}',
  'before {doing} {it}',
  'after {doing} {it}',
  'by {doing} {it}',
  "i'm supposed to {do} {it}",
  "you're supposed to {do} {it}",
  "i'm going to {do} {it}",
  "i'm gonna {do}",
  'make sure i {do} {it}',
  'make sure to {do}',
  'make sure that it is {desc}',
  "make sure it's {desc}",
  'and {do} {it}',
  'to {do} {it}',
  'not to {do} {it}',
  "don't {do} {it}",
  "i don't {do} {it}",
  'if i {do} {it}',
  'if it is {desc}',
  "if it's {desc}",
  "if i'm {desc}",
  'if i feel {desc}',
  'when i {do} {it}',
  'when {it} is {desc}',
  "when it's {desc}",
  'when i get {desc}',
  'so that i {do} {it}',
  'so it gets {desc}',
  'so {it} goes {where}',
  'it goes {where}',
  'it gets {desc}',
  'and {it} {where}',
  'or {it} {where}',
  'with {it} {when}',
  'of {it}',
  'so i can {do}',
  'until {it} is {desc}',
  'because {it} is {desc}',
  "because it's {desc}",
  'and {um} i {do}',
  'i would {do} {it}',
  "i'd {do} {it}",
  "i'll {do} {it}",
  "you'd {do} {it}",
  'they were {doing} {it}',
  'i was {doing} {it}',
];

/** Whole sentences, for what the patterns do not give. */
export const sentences: readonly string[] = `
well let me think about that for a minute
i am not sure that i got all of that but i will try
as far as i know that is what it does
my mother had one of these when she was old
the little one is the one i carry with me
there is a lot to remember
that was the part i forgot at home last time
you showed me with the thing in your hand
i would say it is kind of like blowing out a candle
i never did it that way before but i will from now on
what else was there oh yes
i have been doing this for years
is that right did i say that right
can i do that more than once or is that too much
do i have to do that every single time
what was the other thing you wanted to know
it has to be tight so nothing gets out around the sides
there should not be anything stuck in it
the stuff comes out like a little cloud
it makes a sound like a whistle when i go too fast
that means i am doing it too fast
so the medicine does not just end up on the back of my throat
otherwise it just stays in my mouth and it does no good
that way it goes down where it is supposed to go
it does not work if you do it the other way
there is nothing wrong with taking your time
then i let it out nice and easy
i let my breath out and i start over
i sit down in my chair by the window and relax
i use the one with the blue cap when i cannot catch my breath
the other one is for every day whether i feel like it or not
even on the days when i feel all right i still take it
i do not stop just because i feel better
if i still have trouble after that then i call somebody
i call my doctor or i go to the emergency room
call nine one one if i can't breathe or my lips turn blue
i would dial nine one one right away and not wait around
if it does not help i need to get some help
my chest gets tight and i start to wheeze and cough
i should not need it more than a couple of times a week
if i am using it more than that i should let the doctor know
then i rinse my mouth out with water and spit it in the sink
i gargle so i do not get those white spots in my mouth
brush my teeth or rinse and spit afterwards
you don't swallow it you spit it out
i take it apart and wash it in warm water with a little dish soap
a drop of soap in some warm water and swish it around
i shake off the water and let it sit out to dry on its own
i do not rub it with a towel because that makes it stick to the sides
don't put it in the dishwasher or the microwave
leave it on the counter overnight on a paper towel
i look at the little number on the back to see how many are left
when it gets to zero it is empty and i need a new one
i get a refill before it runs out
the counter tells me how much is left in it
keep track of how many puffs i used
i keep it at room temperature and not in a hot car
i always keep a spare one in my bag
first thing i do is take the cap off and make sure it is clean inside
i look inside to see if there is any dirt or a coin or something in there
give it a good shake about five or ten times
the inhaler goes in the hole at the back of the tube
stick the inhaler on the end of it
if i have not used it for a long time i spray a few in the air
you have to spray it a few times when it is brand new
i stand up or sit up straight so there is room in my chest
tilt my head back a little bit
i blow all my air out but not into the thing
then i put my lips around it so it makes a seal
my teeth go around the mouthpiece and my lips are closed
press down on the can one time
one squirt and then i breathe it in
i breathe in slow like i am sipping hot soup
hold it in while i count to ten on my fingers
i hold it as long as i comfortably can and then let it go
wait about a minute and then do the second puff the same way
shake it again before the next one
i breathe normal for a bit before i do another one
it is the same thing all over again for the second one
i plug it in and put the tube on
the mask goes over my nose and my mouth
turn on the switch and wait for the mist to come out
when it starts to spit and sputter i tap the side of the cup
it takes about ten or fifteen minutes until it is all gone
i only put in what the doctor ordered and nothing else
i wash my hands with soap before i touch anything
the oxygen has to stay away from the stove and from candles and cigarettes
nobody is allowed to smoke in the house
at least five feet away maybe ten
i do not change the number on the dial unless the doctor says so
i keep it at two liters like it says
the tank should stand up in the holder so it doesn't fall over
i use the kind of lotion with water in it and not the greasy kind
the little prongs go in my nose pointing down
i check that the tube isn't bent and nobody is standing on it
i do not trip over the hose
tell the power company so they know i have a machine at home
if the power goes out i switch over to the tank
change the water and use only distilled water
i would call the company that brings the oxygen
i get a headache or i feel drowsy and mixed up then i call
he puts it on for me because my hands hurt
she holds it for me and i do the breathing
we do it together in the kitchen after breakfast
there are two of them one is for when it is bad and one is for all the time
that is the one that works fast
this one takes a while to work and it keeps the swelling down
it opens up the tubes in my lungs so i can breathe better
it turns the liquid into a fog that i breathe
i think you said ten seconds but i can only do about six
no i meant after not before
wait that is wrong it is the other way around
not twice just once
i said two but i mean one
i do not do that one it is not allowed
you can't do that because it could catch fire
nothing really just the regular stuff
that is about all i can think of
i hope that is what you were after
could you tell me that part one more time
i do not understand what you mean by that
what do i do if i miss one
you don't want to do both of them right in a row
one right after the other
on and on until the count runs down
give it time to work before you take any more
i would not want any of it to get in my eyes
and that is how my husband does his
it isn't hard once you get used to it
i'd rather sit at the table when i am doing it
he'd have to remind me about that
that's the thing with the holes in it
there's a rubber piece at the end that you push it into
it's got a little valve in there that opens when you breathe in
they're both important but for different things
we've got one upstairs and one downstairs
i've had this since the winter
you've got to be careful with it
she's the one who helps me with it
who is going to check on it
whatever is left in there i pour it out
anything else would be a mistake
most of the time i forget that part
some of it sticks to the plastic
any time i go out i take it along
which one was it again
how many times do i do that
how long do i hold it
where does this part go
both hands so i do not drop it
until there is no more mist coming out of it
out of the box and into the holder
instead of the big one i use the small one
the same as before
whenever i need to
as soon as i feel it coming on
at the first sign of trouble
in case something happens
on top of that
from time to time
more or less
for sure
not at all
of course
at least once a day
up to four times
no more than two
less than a minute
half an hour or so
a long time ago
the day before yesterday
this morning
last night
tomorrow
on monday and on thursday
by myself
with my other hand
without any help
`
  .trim()
  .split('\n');

/** All of it. */
export function everydayEnglish(): string[] {
  return [...sentences, ...patterns.flatMap((pattern) => fillSlots(pattern, slots))];
}
