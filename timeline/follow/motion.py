"""Less common verbs of motion and of putting, in their forms: a piece may amble, be hauled or tiptoe to its square.

After the classes "verbs of putting", "sending and carrying" and "motion" of Levin 1993, "English Verb Classes and
Alternations" (sections 9, 11, 51); the list is from memory and leaves out what chess talk uses otherwise ("cross", "post").
"""

from __future__ import annotations

TRAVEL = frozenset(
    """
amble ambled ambles ascend ascended ascends bolt bolted bolts bounce bounced bounces canter cantered canters carried
carries carry charge charged charges clamber clambered clambers climb climbed climbs coast coasted coasts creep creeps
crept dart darted darts dash dashed dashes descend descended descends dive dived dodge dodged dodges dove drag dragged
drags drift drifted drifts escape escaped escapes fetch fetched fetches fled flee flees flit flited flits float floated
floats gallop galloped gallops glide glided glides hasten hastened hastens haul hauled hauls hid hidden hide hoist
hoisted hoists hurried hurries hurry inch inched inches limp limped limps lodge lodged lodges maneuver maneuvered
maneuvers manoeuvre manoeuvred manoeuvres march marched meander meandered meanders nestle nestled nestles nip nipped
nips perch perched perches plod plodded plods plop plopped plops plunge plunged plunges prance pranced prances promenade
promenaded promenades prowl prowled prowls race raced races redeploy redeployed redeploys relocate relocated relocates
reroute rerouted reroutes retire retired retires rise rises roam roamed roams rocket rocketed rockets roll rolled rolls
rose route routed routes rush rushed rushes sail sailed sails sank saunter sauntered saunters scamper scampered scampers
scoot scooted scoots scurried scurries scurry scuttle scuttled scuttles send sends sent sidle sidled sidles sink sinks
slid slink slinks slither slithered slithers slot slots slotted slunk sneak sneaked snuck sprang spring springs sprint
sprinted sprints squeeze squeezed squeezes stagger staggered staggers station stationed stations steer steered steers
stride strides strode stroll strolled strolls strut struts strutted stumble stumbled stumbles sweep sweeps swept switch
switched swoop swooped swoops tiptoe tiptoed tiptoes toddle toddled toddles totter tottered totters tramp tramped tramps
transfer transferred transfers trek treked treks trot trots trotted trudge trudged trudges trundle trundled trundles
tumble tumbled tumbles vault vaulted vaults waddle waddled waddles wade waded wades waltz waltzed waltzes wander
wandered wanders wedge wedged wedges whip whipped whips whizz whizzed whizzes withdraw withdrawn withdraws withdrew
wriggle wriggled wriggles zigzag zigzaged zigzags zip zipped zips zoom zoomed zooms
    """.split()
)
NOT_PAWNS = frozenset(
    """
    swing swings swung slide slides slid jump jumps jumped hop hops hopped leap leaps leaped leapt retreat retreats
    retreated return returns returned drop drops dropped lift lifts lifted fly flies flew swoop swoops swooped centralise
    centralises centralize centralizes transfer transfers transferred reroute reroutes rerouted switch switches switched
    retire retires retired withdraw withdraws withdrew glide glides glided dive dives dived vault vaults gallop gallops
    """.split()
)
"""What pieces do and pawns do not."""
