#pragma once

#include <QObject>
#include <QString>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "core/agreement/agreement_block.h"
#include "core/agreement/pair_filter.h"
#include "core/flags/flag.h"

namespace beatwitness::app {

class Annotations;
class Document;

/// What passes the filter: pairs of the test in front, their numbers and their stretches.
struct Selected {
    std::shared_ptr<const trace::Pairs> pairs;
    agreement::AgreementBlock numbers;
    std::vector<trace::SessionSpan> stretches;
};

/// The one selection that timeline, map and numbers listen to: a range, phases, flags and an area of the map,
/// combined as all of them. A matter of view, never undone. Follows test, clock, phases and decisions.
class Selection : public QObject {
    Q_OBJECT

public:
    Selection(Document& document, Annotations& annotations);

    void setRange(std::optional<std::pair<double, double>> seconds);
    [[nodiscard]] std::optional<std::pair<double, double>> range() const { return range_; }
    /// Only seconds in phases of these labels.
    void setPhases(std::set<std::string> labels);
    [[nodiscard]] const std::set<std::string>& phases() const { return phases_; }
    /// Only seconds under flags of these kinds.
    void setFlags(std::set<flags::FlagKind> kinds);
    [[nodiscard]] const std::set<flags::FlagKind>& flags() const { return flags_; }
    /// An area of the map: a box or a band, the other goes.
    void setBox(std::optional<agreement::RateBox> box);
    void setBand(std::optional<agreement::GuideBand> band);
    [[nodiscard]] const std::optional<agreement::RateBox>& box() const { return box_; }
    [[nodiscard]] const std::optional<agreement::GuideBand>& band() const { return band_; }
    void clear();

    [[nodiscard]] bool isActive() const { return active_; }
    /// What passes; everything of the test in front where nothing is asked for. Requires: a session.
    [[nodiscard]] const Selected& selected() const { return selected_; }
    /// "12:00 to 14:00 · effort 2 · half-rate".
    [[nodiscard]] QString words() const;
    /// The stretch after (by 1) or before (by -1) `from`; nothing at the end.
    [[nodiscard]] std::optional<trace::SessionSpan> stretchFrom(double from, int by) const;

signals:
    void changed();

private:
    void refresh();
    [[nodiscard]] agreement::PairFilter filter() const;

    Document& document_;
    Annotations& annotations_;
    std::optional<std::pair<double, double>> range_;
    std::set<std::string> phases_;
    std::set<flags::FlagKind> flags_;
    std::optional<agreement::RateBox> box_;
    std::optional<agreement::GuideBand> band_;
    bool active_ = false;
    Selected selected_;
};

}  // namespace beatwitness::app
