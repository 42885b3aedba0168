// Text and numbers of a page.
#include "postprocess/page/html.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include <limits>
#include <nlohmann/json.hpp>

namespace raybend {

std::string escaped(const std::string &text) {
  std::string safe;
  for (const char c : one_line(text))
    switch (c) {
    case '&':
      safe += "&amp;";
      break;
    case '<':
      safe += "&lt;";
      break;
    case '>':
      safe += "&gt;";
      break;
    case '"':
      safe += "&quot;";
      break;
    case '\'':
      safe += "&#39;";
      break;
    default:
      safe += c;
    }
  return safe;
}

struct PageNumbers::Document {
  nlohmann::json j;
};

PageNumbers::PageNumbers(const std::string &summary_json)
    : document_(std::make_unique<Document>(Document{nlohmann::json::parse(summary_json)})) {}
PageNumbers::~PageNumbers() = default;

double PageNumbers::number(const std::string &key) const {
  const nlohmann::json::json_pointer place(key);
  const nlohmann::json &j = document_->j;
  return j.contains(place) && j[place].is_number() ? j[place].get<double>()
                                                   : std::numeric_limits<double>::quiet_NaN();
}

namespace {

std::string span(const std::string &key, const int digits, const std::string &more, const std::string &text) {
  return "<span class=\"number\" data-key=\"" + escaped(key) + "\" data-digits=\"" + std::to_string(digits) +
         "\"" + more + ">" + escaped(text) + "</span>";
}

} // namespace

std::string PageNumbers::value(const std::string &key, const int digits, const bool sign) const {
  const double x = number(key);
  if (x != x)
    return "–";
  return span(key, digits, sign ? " data-sign" : "", sign ? signed_fixed(x, digits) : fixed(x, digits));
}

std::string PageNumbers::banded(const std::string &key, const std::string &band_key, const int digits,
                                const bool sign) const {
  const double band = number(band_key);
  if (!(band > 0))
    return value(key, digits, sign);
  return value(key, digits, sign) + "\u00a0±\u00a0" +
         span(band_key, digits, " data-band", band_text(band, digits));
}

} // namespace raybend
