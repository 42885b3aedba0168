// The cautions shown in --help and on every report. Their one place.
#pragma once

namespace raybend {

inline constexpr const char *cautions[] = {
    "This is a model's comparison for a licensed practitioner's judgement; it is not a diagnosis, a "
    "prescription or "
    "a certified medical device.",
    "Published measurements of metatarsal strain with a pad or bar are missing: the stress difference "
    "between "
    "designs is a model result.",
    "Pain, swelling or night pain: stop loading and see a clinician.",
    "Local rules on custom-made devices apply.",
};

} // namespace raybend
