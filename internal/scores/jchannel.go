package scores

import (
	"backroad/internal/anatomy"
	"backroad/internal/source"
	"backroad/internal/tri"
	"backroad/internal/unit"
)

// jchannel is the checklist of the J-Channel score. The weights of its predictors, its
// cuts, and what makes a bend or a vessel count were not seen, so there is no sum: the
// rates of its three classes are shown, and which class holds is not claimed.
var jchannel = definition{
	key: JChannel, name: "J-Channel predictors", unsummed: true,
	derived: "886 collateral channels (610 septal, 276 others) of a Japanese expert registry in 2016, split 2:1; area under the curve above 0.7 in both sets",
	source:  jchannelSource,
	elsewhere: []Elsewhere{{"329 channels in 244 retrograde procedures: area under the curve 0.61 (0.55 to 0.67), against 0.87 (0.83 to 0.90) for size with tortuosity there",
		source.Paper("Accurate prediction of retrograde collateral channel crossing in coronary artery chronic total occlusion intervention", "", 0, "", "")},
		{"1689 channels of 1061 patients in 31 centres, 2013 to 2023: the score went with crossing, but foretold that of wire and microcatheter only modestly",
			source.Paper("Validation of the J-Channel Score for Retrograde Channel Crossing in the […] Registry", "J Invasive Cardiol", 2024, "10.25270/jic/24.00006", "abstract")},
		{"guidewire crossing of any channel in two series: 203 of 297 and 223 of 329, together 68.05 %",
			source.ComputedFrom("the counts of two papers, DOI 10.25270/jic/21.00211 and the one of 329 channels")}},
	cautions: []string{
		"the points and cuts were not seen: no class is claimed, the predictors are a checklist",
		"outside its own patients the score told channels apart poorly (0.61)",
	},
	predicts: []prediction{
		{what: "guidewire crossing of the channel, which is not success", in: septalChannels, strata: channelRates(0.929, 0.574, 0.167), source: jchannelSource},
		{what: "guidewire crossing of the channel, which is not success", in: otherChannels, strata: channelRates(0.917, 0.543, 0.190), source: jchannelSource},
	},
	concerns: func(in *Inputs, p *prediction) bool {
		switch in.Channel {
		case anatomy.Septal:
			return p.in == septalChannels
		case anatomy.Epicardial, anatomy.Atrial:
			return p.in == otherChannels
		case anatomy.Graft:
			return false
		}
		return true
	},
	items: jchannelItems,
}

const (
	septalChannels = "septal channels, validation"
	otherChannels  = "channels that are not septal, validation"
)

var jchannelSource = source.Paper("Successful guidewire crossing via collateral channel at retrograde percutaneous coronary intervention for chronic total occlusion: the J-Channel score",
	"EuroIntervention", 0, "10.4244/EIJ-D-18-00993", "")

// channelRates are the rates of the classes; their points were not seen.
func channelRates(easy, intermediate, difficult unit.Probability) []Stratum {
	return []Stratum{{Name: "easy", Rate: easy, Seen: true}, {Name: "intermediate", Rate: intermediate, Seen: true}, {Name: "difficult", Rate: difficult, Seen: true}}
}

func jchannelItems(in *Inputs, _ *Own) []Item {
	items := []Item{predictor("small vessel", in.SmallVessel), predictor("reverse bend", in.ReverseBend)}
	if in.Channel == anatomy.Graft {
		items[0].caution = "a graft is no collateral channel: the score does not speak of it"
		return items
	}
	if in.Channel != anatomy.Epicardial && in.Channel != anatomy.Atrial {
		items = append(items, predictor("continuous bends, where the channel is septal", in.ContinuousBends))
	}
	if in.Channel != anatomy.Septal {
		items = append(items, predictor("corkscrew, where the channel is not septal", in.Corkscrew))
	}
	return items
}

// predictor is a line without points.
func predictor(says string, a tri.Answer) Item {
	return Item{Says: says, Present: a.String(), Open: a != tri.Yes && a != tri.No}
}
