// What makes two solves one: loads and insoles that behave alike, whatever they are called.
#pragma once
#include "geometry/insole.hpp"
#include <string>

namespace raybend {

/// The same text for designs that behave alike: all numbers, to the last digit. Names, titles and the order of support
/// elements do not count.
std::string alike_text(const Design &design);

} // namespace raybend
