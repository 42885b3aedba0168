// Where the load goes and what is relieved, in words.
#pragma once
#include "postprocess/compare/ranking.hpp"
#include <string>
#include <vector>

namespace raybend {

/// "ray 3 strain 900 to 980 ue (+9 %), ..." or "nowhere by more than 5 % (...)" with what was looked at. Where
/// three shafts or more carry more force, one item for all: "force on the shafts of rays 1 to 5 together from
/// 63 to 113 N (+79 %)".
std::string shift_words(const std::vector<LoadShift> &shifts);

/// The same of what carries less; "nothing by more than 5 % (...)".
std::string relief_words(const std::vector<LoadShift> &reliefs);

/// Where the load goes and what is relieved, all of it: the end of a sentence.
std::string load_words(const Difference &difference);

/// Of each the most telling, on one line: "load goes to ...; relieved: ...".
std::string load_line(const Difference &difference, int painful_ray);

/// The same of what is told of it in short, and that the rest stands in the table above: the end of a
/// sentence.
std::string short_load_words(const Difference &difference, int painful_ray);

/// Two sentences of what is told in short of changes beyond their bands; `verb`: "They relieve".
std::vector<std::string> sure_load_sentences(const Difference &difference, int painful_ray,
                                             const std::string &verb);

/// Of every kind the shift that rises most; of the shafts' forces all, where three or more rise.
std::vector<LoadShift> strongest_shifts(const std::vector<LoadShift> &shifts);

/// What says why a design works: of the painful ray's head and of the head that loses most force, force and
/// pressure; of the other rays the one whose strain falls most; where none of these fell, the shafts that
/// lose most force and most pressure. Empty only if nothing fell at all.
std::vector<LoadShift> telling_reliefs(const std::vector<LoadShift> &reliefs, int painful_ray);

} // namespace raybend
