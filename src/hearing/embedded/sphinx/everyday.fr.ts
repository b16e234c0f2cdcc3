import { fillSlots } from '../everyday';

/*
 * A compact piece of everyday French, written for this project: how people talk when they explain what they do at
 * home. It teaches the recogniser the small words and the fillers that no list of accepted phrases holds. Slots in
 * braces are filled from `slots`, every filler once.
 */

const slots: Readonly<Record<string, readonly string[]>> = {
  je: ['je', 'on', 'tu', 'il', 'elle', 'mon mari', 'ma femme', 'ma fille', 'mon fils', "l'infirmière"],
  dois: ['dois', 'peux', 'vais', 'veux', 'devrais', 'pourrais', 'préfère', 'fais'],
  doit: ['doit', 'peut', 'va', 'veut', 'devrait', 'pourrait', 'sait'],
  faire: (
    'faire|prendre|mettre|remettre|enlever|garder|laisser|tenir|tourner|appuyer|pousser|tirer|secouer|laver|rincer|' +
    'essuyer|sécher|nettoyer|vérifier|regarder|appeler|attendre|compter|respirer|souffler|inspirer|expirer|ouvrir|' +
    'fermer|arrêter|commencer|recommencer|éteindre|allumer|brancher|changer|remplir|vider|boire|avaler|cracher|manger|' +
    'dormir|asseoir|lever|bouger|rester|toucher|jeter|ranger|oublier|demander|dire|savoir|sentir|tousser|fumer|utiliser|' +
    'me rincer la bouche|me laver les mains|me reposer|me tenir droit|faire attention|aller voir|le faire|en prendre'
  ).split('|'),
  fais: (
    'fais|prends|mets|remets|enlève|garde|laisse|tiens|tourne|appuie|pousse|tire|secoue|lave|rince|essuie|sèche|' +
    'nettoie|vérifie|regarde|appelle|attends|compte|respire|souffle|inspire|expire|ouvre|ferme|arrête|commence|' +
    'recommence|éteins|allume|branche|change|remplis|vide|bois|avale|crache|reste|touche|jette|range|oublie|demande|' +
    "utilise|retire|serre|retiens|bloque|relâche|me rince|m'assois|me tiens|me repose|dis|sais|pense|sens|vois"
  ).split('|'),
  faites: (
    'faites|prenez|mettez|gardez|laissez|tenez|appuyez|secouez|lavez|rincez|regardez|appelez|attendez|comptez|' +
    'respirez|soufflez|inspirez|ouvrez|fermez|arrêtez|commencez|enlevez|changez|utilisez|voulez|avez|dites|pouvez|savez'
  ).split('|'),
  fait: (
    'fait|pris|mis|enlevé|gardé|laissé|tenu|tourné|appuyé|poussé|secoué|lavé|rincé|essuyé|nettoyé|vérifié|appelé|' +
    'attendu|compté|respiré|soufflé|ouvert|fermé|arrêté|commencé|changé|oublié|dit|montré|expliqué|eu|été|vu|fini|compris'
  ).split('|'),
  ca: (
    "ça|le truc|la chose|l'autre|le premier|la deuxième|mon médicament|le produit|la machine|l'appareil|le petit tube|" +
    "le masque|l'eau|la bouche|les mains|le bouchon|tout|rien|un peu|une fois|deux fois|encore une|mes lèvres|l'air|" +
    "mon souffle|la tête|le docteur|le bouton|le couvercle|un verre d'eau"
  ).split('|'),
  la: (
    "dedans|dessus|dans la bouche|dans le tube|dans l'eau|dans l'évier|dans la cuisine|dans la salle de bain|sur la table|" +
    "sur une serviette|sur le comptoir|à la maison|à côté|à l'intérieur|dehors|en bas|en haut|au fond|au bout|autour|" +
    "par la bouche|par le nez|entre les dents|sous l'eau|à l'air|à l'hôpital|chez moi|dans le tiroir|dans mon sac|" +
    "jusqu'au fond|loin du feu|près de moi|tout seul|bien droit|ensemble"
  ).split('|'),
  quand: (
    "d'abord|avant|après|ensuite|maintenant|encore|plus tard|une fois|deux fois|tous les jours|chaque jour|chaque fois|" +
    'à chaque fois|le matin|le soir|matin et soir|la nuit|avant de dormir|avant de manger|après le repas|tout de suite|' +
    'une fois par jour|une fois par semaine|deux fois par jour|dix secondes|une minute|quelques minutes|un moment|' +
    "toutes les quatre heures|jusqu'à la fin|en même temps|tout le temps|de temps en temps|un peu plus tard"
  ).split('|'),
  comment: (
    'lentement|doucement|bien|très bien|fort|à fond|vite|tranquillement|un peu|beaucoup|comme il faut|comme ça|' +
    'normalement|profondément|complètement|sans forcer|sans me presser|autant que je peux|le plus longtemps possible'
  ).split('|'),
  num: 'un|deux|trois|quatre|cinq|six|sept|huit|neuf|dix|quinze|vingt|trente|soixante|une dizaine de|quelques'.split(
    '|',
  ),
  unite:
    'secondes|minutes|heures|jours|fois|semaines|bouffées|litres|mois|mètres|gouttes|doses|pieds|ans'.split(
      '|',
    ),
};

const patterns = `
{je} {doit} {faire}
je {dois} {faire} {ca}
il faut {faire} {ca}
il faut {faire} {quand}
il ne faut pas {faire} {ca}
faut pas {faire} {la}
faut que je {fais} {ca}
je {fais} {ca} {la}
je {fais} {comment}
je {fais} {quand}
puis je {fais} {ca}
après je {fais} {ca} {quand}
ensuite je {fais} {la}
et je {fais} {quand}
et puis je {fais}
je le {fais} {quand}
je la {fais} {comment}
je les {fais} {la}
je l'ai {fait}
j'ai {fait} {ca}
vous avez {fait} {ca}
vous {faites} {ca}
on {fait} {ca}
je ne {fais} pas {ca}
je {fais} pas {quand}
je ne {fais} jamais {ca}
je {fais} plus {ca}
avant de {faire}
avant de {faire} {ca}
après avoir {fait}
pour {faire} {ca}
pour ne pas {faire}
sans {faire} {ca}
et {faire} {ca} {la}
{ca} {la}
pendant {num} {unite}
{num} {unite}
à peu près {num} {unite}
au moins {num} {unite}
toutes les {num} {unite}
{num} ou {num} {unite}
jusqu'à {num}
{comment} {la}
{quand} je {fais}
`
  .trim()
  .split('\n');

const sentences = `
oui
non
oui oui c'est ça
non pas du tout
d'accord
okay
bon alors
ben oui
ben euh
euh je ne sais pas
euh attendez
je sais pas
je sais plus
je ne sais plus trop
je ne me souviens plus
je me rappelle plus
j'ai oublié
j'ai pas compris
je n'ai pas bien compris
vous pouvez répéter
vous pouvez répéter s'il vous plaît
pouvez-vous me le redire
qu'est-ce que vous avez dit
qu'est-ce que je dois faire
comment on fait ça
ça je ne sais pas
je crois que c'est ça
je pense que oui
je pense que non
c'est tout
c'est à peu près tout
voilà c'est tout
c'est bien ça
c'est comme ça que je fais
c'est ce que j'ai compris
c'est ce qu'on m'a dit
c'est pas compliqué
c'est important
c'est pour ça que
c'est le docteur qui décide
c'est l'infirmière qui m'a montré
si j'ai bien compris
si je me souviens bien
si je me trompe pas
à mon avis
en fait
en gros
en premier
en tout cas
par exemple
d'habitude
normalement
de toute façon
comme je vous l'ai dit
comme vous avez dit
comme vous m'avez montré
vous m'avez dit de
on m'a dit de
il paraît que
il y a
il y en a deux
il n'y a pas de
il y a un petit truc dedans
y a un bouton sur le côté
y a plus rien dedans
alors d'abord
alors moi je
moi je fais comme ça
moi j'ai toujours fait comme ça
bon ben je prends mon appareil
je commence par
je commence par me laver les mains
la première chose que je fais
la première chose c'est de
et puis après
et après ça
et ensuite
et à la fin
pis après
pis là je
là je
puis voilà
et c'est tout
et ça y est
et je recommence
et je fais la même chose
la même chose pour le deuxième
pareil pour l'autre
tout pareil
l'un après l'autre
un à la fois
une seule fois
pas plus
pas trop vite
pas trop fort
tout doucement
le plus possible
aussi longtemps que je peux
tant que je peux
jusqu'à ce que ce soit fini
jusqu'à ce qu'il n'y en ait plus
tant qu'il en reste
quand c'est fini
quand j'ai fini
quand ça ne va pas
quand je respire mal
quand j'ai du mal à respirer
quand je me sens pas bien
quand je n'arrive plus à respirer
quand j'en ai besoin
quand il n'y en a plus
quand le médecin me le dit
même si je vais bien
même quand ça va bien
même quand je me sens mieux
si ça ne va pas mieux
si ça va pas
si ça ne marche pas
si jamais
si j'ai mal
si j'ai de la fièvre
si je tousse beaucoup
si c'est grave
s'il y a un problème
s'il le faut
sinon j'appelle
j'appelle le médecin
j'appelle mon médecin tout de suite
j'appelle les secours
j'appelle les urgences
j'appelle le quinze
j'appelle le neuf un un
j'appelle une ambulance
je vais à l'hôpital
je vais aux urgences
je demande à ma fille
je demande à quelqu'un de m'aider
ma fille m'aide
ma femme me le prépare
mon mari s'en occupe
c'est mon mari qui le fait
parce que sinon
parce que ça
parce que c'est dangereux
parce qu'il y a
parce que j'ai peur de
parce que sinon ça reste dans la bouche
pour que ça rentre bien
pour que ça descende dans les poumons
pour que ça marche
pour pas que ça
pour éviter les infections
pour ne pas avoir mal à la gorge
pour ne pas tomber
afin que
à cause de
à cause du feu
ça peut prendre feu
ça peut brûler
ça peut exploser
ça peut être dangereux
ça agit vite
ça aide à respirer
ça ouvre les bronches
ça fait du bien
ça fait mal
ça ne sert à rien
ça me fait tousser
ça prend du temps
ça va mieux
ça dépend
ça suffit
ça ne doit pas
il ne faut surtout pas
faut surtout pas
faut bien
faut toujours
faut jamais
on doit jamais
on a le droit de
j'ai le droit
je n'ai pas le droit
je n'ai pas besoin de
je n'ai jamais
je n'en prends pas plus
je n'y touche pas
je ne change rien
je ne le fais pas toujours
je ne fume pas
je ne fume plus
personne ne fume chez moi
je le garde sur moi
je le garde avec moi
je le garde toujours à portée de main
je le range
je le mets de côté
je le laisse sécher
je laisse sécher à l'air libre
je laisse tout sécher sur une serviette propre
je ne l'essuie pas
je le lave avec de l'eau tiède et du savon
à l'eau chaude
avec un peu de savon
avec du liquide vaisselle
je rince bien à l'eau claire
je le passe sous le robinet
une fois par semaine à peu près
tous les matins et tous les soirs
matin midi et soir
le matin en me levant
avant d'aller me coucher
au moment de dormir
tous les deux jours
tous les mois
au bout d'un moment
à la fin de la journée
une dizaine de secondes
quelques secondes
une bonne minute
un quart d'heure
une demi-heure
à peu près dix minutes
entre dix et quinze minutes
trois ou quatre
deux ou trois fois
cinq ou six
deux mètres
trois mètres au moins
assez loin
à un mètre
loin de la cuisinière
loin des flammes et des cigarettes
je m'assois sur une chaise
je suis assis bien droit
je me tiens debout
je me mets debout ou assise
je relève la tête
je penche un peu la tête en arrière
je mets la tête bien droite
je vide mes poumons
je vide tout l'air
je souffle tout mon air
je souffle à fond
je souffle d'abord en dehors
je prends une grande respiration
je prends une grande inspiration
j'inspire par la bouche
j'inspire lentement et profondément
j'inspire tout doucement
j'aspire
j'expire
je retiens ma respiration
je garde l'air dans les poumons
je bloque ma respiration
je compte jusqu'à dix
je compte dans ma tête
je relâche doucement
je respire normalement
je respire tranquillement
je respire par le nez
j'appuie dessus
j'appuie une fois
j'appuie en même temps que
j'ouvre
j'ouvre le capuchon
j'enlève le bouchon
j'enlève le capuchon et je regarde dedans
je regarde s'il n'y a rien dedans
je regarde si c'est propre
je regarde le chiffre
je regarde le compteur
je secoue bien
je le secoue fort plusieurs fois
je le mets dans le tube
je le branche au bout
je mets l'embout entre mes dents
je mets l'embout dans ma bouche
je ferme bien la bouche autour
je serre les lèvres autour
avec les lèvres bien fermées
je mets le masque sur le nez et la bouche
je branche la machine
j'allume la machine
je verse le médicament
je mets la dose dans le petit pot
je visse le couvercle
je tape un peu sur le côté
quand ça ne fait plus de fumée
quand il n'y a plus de vapeur
j'attends une minute
j'attends un peu
j'attends entre les deux
je me repose un peu
je me rince la bouche
je me rince la bouche et je crache
je recrache l'eau
je n'avale pas
sans avaler
je me brosse les dents
je me gargarise
je me lave les mains
je lave mes mains avant
je fais attention de ne pas
je fais attention à ne pas marcher dessus
je ne tire pas dessus
je ne marche pas sur le tuyau
je mets pas de crème grasse
pas de vaseline
à base d'eau
j'ai les lèvres bleues
je suis très fatigué
je suis tout essoufflé
je suis essoufflée
j'ai mal à la tête
j'ai la tête qui tourne
j'ai le coeur qui bat vite
je tremble un peu
je dors mal
je suis un peu perdu
le bleu c'est pour les crises
l'autre c'est tous les jours
celui de tous les jours
celui pour les urgences
celui-là je le prends
celle-là c'est pour
les deux
tous les deux
ni l'un ni l'autre
pas celui-là
pas les deux en même temps
plutôt
ou bien
ou alors
soit
c'est-à-dire
enfin
enfin je veux dire
non pardon
non attendez
non c'est le contraire
excusez-moi
merci
merci beaucoup
s'il vous plaît
bonjour
attendez un peu
laissez-moi réfléchir
je réfléchis
voyons
hein
quoi
bah
eh bien
mon Dieu
tu sais
vous savez
vous voyez
j'imagine
peut-être
peut-être bien
sûrement
bien sûr
évidemment
exactement
c'est vrai
c'est pas vrai
c'est pareil
ça m'est égal
je fais confiance au docteur
je lis la notice
c'est écrit dessus
c'est marqué sur la boîte
je regarde sur la boîte
à la pharmacie
je demande au pharmacien
j'en achète un autre
j'en redemande avant la fin
j'en ai un de rechange
il en reste
il est vide
il est bouché
il est plein
elle est cassée
elle fait du bruit
elle est branchée dans le mur
pas de rallonge
en cas de panne
s'il y a une panne de courant
j'ai une bouteille de secours
la bouteille reste debout
je l'attache
dans un endroit aéré
pas dans un placard
pas à côté du radiateur
je préviens la compagnie
j'ai prévenu tout le monde
je ne le prête à personne
`
  .trim()
  .split('\n');

/** All of it. */
export function everydayFrench(): string[] {
  return [...sentences, ...patterns.flatMap((pattern) => fillSlots(pattern, slots))];
}
