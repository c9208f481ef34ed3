#pragma once

#include <QAbstractListModel>
#include <memory>

#include "core/analysis/session_analysis.h"

namespace beatwitness::widgets {

/// The flags of one test (and those of the reference among them), by start. Wraps an immutable analysis.
class FlagListModel : public QAbstractListModel {
    Q_OBJECT

public:
    enum Roles { CodeRole = Qt::UserRole, TitleRole, SpanRole, MagnitudeRole, ColourRole, HatchRole };

    using QAbstractListModel::QAbstractListModel;

    /// nullptr empties the list.
    void setSession(std::shared_ptr<const analysis::SessionAnalysis> session, int test);
    /// nullptr where there is no such row.
    [[nodiscard]] const flags::Flag* flag(int row) const;
    /// Row of the flag that covers `seconds` of session time, -1 without one.
    [[nodiscard]] int rowAt(double seconds) const;

    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;
    [[nodiscard]] QVariant data(const QModelIndex& index, int role) const override;

private:
    [[nodiscard]] QString titleOf(const flags::Flag& flag) const;

    std::shared_ptr<const analysis::SessionAnalysis> session_;
    int test_ = 0;
};

}  // namespace beatwitness::widgets
