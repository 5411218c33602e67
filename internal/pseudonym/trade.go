package pseudonym

import "strings"

// trade are words that stand in texts about vessels, gear and laboratories: a text that
// holds one of them with a capital is no name. Our own list.
var trade = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}()

const words = `
a an and as at by for from in into not of off on or out over per the then this to via with without
one two three four five six first second third fourth fifth last next other another new old best main minor major
left right middle mid upper lower proximal distal anterior posterior lateral medial inferior superior septal apical
atrial epicardial ventricular diagonal marginal obtuse acute oblique intermediate ramus conus branch artery arterial vein venous
vessel coronary circumflex descending ascending posterolateral posterodescending interventricular internal mammary thoracic
radial femoral brachial ulnar iliac aorta aortic ostium ostial trunk stem segment perforator collateral channel graft bypass
jump sequential bridge island cap stump occlusion lesion stenosis calcium calcified calcification tortuous tortuosity blunt
tapered ambiguous clear invisible landing groove apex crux heart donor recipient retrograde antegrade approach route access way
lad lcx rca lm lmca lima rima svg pda pdl plv pla om rv lv cx cto pci cabg ivus oct avg sa
guide guiding catheter microcatheter wire wiring balloon stent snare loop extension sheath connector valve hub coil clip trap
dual lumen single rapid exchange covered drug eluting soft stiff tip tapering support back up wide extra curve curved straight
multipurpose side hole long short large small medium thin thick french gauge size length diameter bore outer inner profile
workhorse crossing externalisation externalization imaging ultrasound angiogram angiography contrast heparin clotting
shelf house rule lab laboratory room cupboard drawer cart trolley stock order loan reserve training practice demo test example
case trial draft copy sample study programme program protocol version note plan planned standard default alternative preferred
wanted there measured agreed meeting spring summer autumn winter monday tuesday wednesday thursday friday saturday sunday
january february march april may june july august september october november december nurse operator technician anaesthesia
assistant team staff untitled unknown none
`
