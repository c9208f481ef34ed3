#pragma once

#include <QAbstractListModel>
#include <memory>
#include <optional>
#include <vector>

#include "core/analysis/session_analysis.h"

namespace beatwitness::widgets {

/// Which flags a list shows; what is not said lets all pass.
struct FlagFilter {
    enum class Decided { Either, No, Yes };
    std::optional<flags::FlagKind> kind;
    std::optional<flags::FlaggedTrace> on;
    Decided decided = Decided::Either;

    [[nodiscard]] bool passes(const flags::Flag& flag) const {
        return (!kind || flag.kind == *kind) && (!on || flag.on == *on) &&
               (decided == Decided::Either || (decided == Decided::Yes) == flag.verdict.has_value());
    }
    friend bool operator==(const FlagFilter&, const FlagFilter&) = default;
};

enum class FlagOrder { Time, Kind, Length, Confidence };

/// "kept", "dismissed", … in the language of the screen.
[[nodiscard]] QString verdictText(flags::Verdict verdict);

/// The flags of one test (and those of the reference among them), dismissed ones too, so that they can be
/// brought back. Wraps an immutable analysis.
class FlagListModel : public QAbstractListModel {
    Q_OBJECT

public:
    enum Roles {
        CodeRole = Qt::UserRole,
        TitleRole,
        SpanRole,
        MagnitudeRole,
        ColourRole,
        HatchRole,
        DismissedRole
    };

    using QAbstractListModel::QAbstractListModel;

    /// nullptr empties the list.
    void setSession(std::shared_ptr<const analysis::SessionAnalysis> session, int test);
    void setFilter(const FlagFilter& filter);
    [[nodiscard]] const FlagFilter& filter() const { return filter_; }
    void setOrder(FlagOrder order);
    /// How many there are whatever the filter, and how many of them are decided.
    [[nodiscard]] int total() const;
    [[nodiscard]] int decided() const;
    /// nullptr where there is no such row.
    [[nodiscard]] const flags::Flag* flag(int row) const;
    /// Row of the flag that covers `seconds` of session time, -1 without one.
    [[nodiscard]] int rowAt(double seconds) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

private:
    [[nodiscard]] QString titleOf(const flags::Flag& flag) const;
    [[nodiscard]] bool isDismissed(const flags::Flag& flag) const;
    [[nodiscard]] std::vector<const flags::Flag*> all() const;
    void rebuild();

    std::shared_ptr<const analysis::SessionAnalysis> session_;
    int test_ = 0;
    FlagFilter filter_;
    FlagOrder order_ = FlagOrder::Time;
    std::vector<const flags::Flag*> rows_;
};

}  // namespace beatwitness::widgets
