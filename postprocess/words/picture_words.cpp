// Words that all pictures write alike.
#include "postprocess/words/picture_words.hpp"
#include "postprocess/canvas/picture_font.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <algorithm>

namespace raybend {

std::string spoken(const DayActivity &activity) {
  std::string text = one_line(activity.words());
  std::replace(text.begin(), text.end(), '-', ' ');
  for (const std::string term : {"push-off", "mid-stance"}) { // terms with a hyphen of their own
    const std::size_t hyphen = term.find('-');
    std::string bare = term;
    bare[hyphen] = ' ';
    for (std::size_t at = text.find(bare); at != std::string::npos; at = text.find(bare, at + 1))
      text[at + hyphen] = '-';
  }
  return text;
}

std::string picture_title(const std::string &topic, const ReportInput &input) {
  return topic + ", " + spoken(input.activity) + ", " +
         fixed(vertical_force(input.activity, input.foot.body_mass_kg)) + " N on forefoot and toes";
}

std::string design_letter(const std::size_t place) {
  return std::string(1, static_cast<char>('A' + place));
}

std::string picture_name(const ReportInput &input, const std::size_t place) {
  const DesignOutcome &o = input.outcomes.at(place);
  return one_line(drawable(o.name_for_people()) ? o.name_for_people() : o.design.name);
}

std::string lettered_name(const ReportInput &input, const std::size_t place) {
  return design_letter(place) + "  " + picture_name(input, place);
}

} // namespace raybend
