// The ground under a shoe's sole that bends at the ball.
#include "geometry/sole_ground.hpp"
#include "geometry/constants.hpp"
#include "geometry/logical_frame.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

SoleGround::SoleGround(const FootShape &shape, const Shoe &shoe, const double heel_rise_deg)
    : apex_(shoe.has_rocker() ? shoe.rocker_apex : 0), half_(shoe.has_rocker() ? 15 : 5),
      rise_(std::sin(heel_rise_deg * pi / 180)),
      before_(std::sin(std::max(0.0, shoe.rocker_deg - heel_rise_deg) * pi / 180)) {
  for (int ray = 1; ray <= 5; ++ray) {
    const Vec3 head = shape.axis(ray, logical::head_station);
    x_[ray - 1] = head[0];
    y_[ray - 1] = head[1];
  }
  // Inside the corner of half width h it is (d + h)^2 / 4h rise + (h - d)^2 / 4h before, least at
  // d = h (before - rise) / (before + rise).
  if (rise_ + before_ > 0)
    lowest_ = off(half_ * (before_ - rise_) / (before_ + rise_));
}

double SoleGround::behind(const Vec3 &place) const {
  double head = x_[0];
  for (int i = 0; i < 4; ++i)
    if (place[1] <= y_[i]) {
      const double t = std::clamp((y_[i] - place[1]) / (y_[i] - y_[i + 1]), 0.0, 1.0);
      head = x_[i] + t * (x_[i + 1] - x_[i]);
    }
  return head - place[0] - apex_;
}

double SoleGround::off(const double behind) const {
  const auto rounded = [this](const double x) {
    return x <= -half_ ? 0 : x >= half_ ? x : (x + half_) * (x + half_) / (4 * half_);
  };
  return rounded(behind) * rise_ + rounded(-behind) * before_;
}

} // namespace raybend
