// A design's name in a narrow place of a picture.
#include "postprocess/pictures/design_lines.hpp"
#include "postprocess/words/picture_words.hpp"
#include <algorithm>

namespace raybend {

namespace {

/// Bytes that both begin with, up to the beginning of a character.
std::size_t common_start(const std::string &a, const std::string &b) {
  std::size_t n = std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin();
  while (n > 0 && n < a.size() && (static_cast<unsigned char>(a[n]) & 0xc0) == 0x80)
    --n;
  return n;
}

/// The text from the word on in which the byte `from` stands; from there itself in a very long word.
std::string from_word(const std::string &text, const std::size_t from) {
  constexpr std::size_t long_word = 20;
  const std::size_t blank = from == 0 ? std::string::npos : text.rfind(' ', from - 1);
  const std::size_t begin = blank == std::string::npos ? 0 : blank + 1;
  return text.substr(from - begin <= long_word ? begin : from);
}

} // namespace

std::vector<std::string> design_lines(Painter &p, const ReportInput &input, const std::size_t place,
                                      const double room, const std::size_t most, const TextStyle &style,
                                      const std::string &after) {
  const std::string before = design_letter(place) + "  ", name = picture_name(input, place);
  const auto lines = [&](const std::string &words) {
    return p.lines(before + words + after, room, most, style);
  };
  const std::vector<std::string> own = lines(name);
  std::size_t same = 0; // bytes
  for (std::size_t other = 0; other < input.outcomes.size(); ++other)
    if (const std::string others = picture_name(input, other); others != name && lines(others) == own)
      same = std::max(same, common_start(name, others));
  return same == 0 ? own : lines("... " + from_word(name, same));
}

} // namespace raybend
