#include "widgets/models/flag_list_model.h"

#include <algorithm>

#include "widgets/format/number_text.h"
#include "widgets/theme/theme.h"

namespace beatwitness::widgets {
namespace {

QString spanText(const flags::Flag& flag) {
    return FlagListModel::tr("%1 to %2")
        .arg(sessionTimeText(secondsOf(flag.span.begin)), sessionTimeText(secondsOf(flag.span.end)));
}

QString magnitudeText(const flags::Flag& flag) {
    if (!flag.measured) return {};
    switch (flag.kind) {
        case flags::FlagKind::Dropout:
        case flags::FlagKind::Stuck:
        case flags::FlagKind::Lag:
            return secondsText(flag.magnitude);
        case flags::FlagKind::Spike:
        case flags::FlagKind::Adrift:
            return FlagListModel::tr("%1 bpm").arg(numberText(flag.magnitude, 0));
        case flags::FlagKind::HalfRate:
        case flags::FlagKind::DoubleRate:
            return QChar(0x00D7) + numberText(flag.magnitude, 2);
        case flags::FlagKind::CadenceLock:
            return FlagListModel::tr("%1 \u00D7 cadence").arg(numberText(flag.magnitude, 1));
        case flags::FlagKind::MissedRise:
        case flags::FlagKind::Damped:
            return FlagListModel::tr("%1 followed").arg(percentText(Percent{100 * flag.magnitude}, 0));
    }
    return {};
}

}  // namespace

QString verdictText(flags::Verdict verdict) {
    switch (verdict) {
        case flags::Verdict::Kept:
            return FlagListModel::tr("kept");
        case flags::Verdict::Dismissed:
            return FlagListModel::tr("dismissed");
        case flags::Verdict::Relabelled:
            return FlagListModel::tr("relabelled");
        case flags::Verdict::Added:
            return FlagListModel::tr("added");
        case flags::Verdict::Moved:
            return FlagListModel::tr("moved");
    }
    return {};
}

void FlagListModel::setSession(std::shared_ptr<const analysis::SessionAnalysis> session, int test) {
    beginResetModel();
    session_ = std::move(session);
    test_ = test;
    rebuild();
    endResetModel();
}

void FlagListModel::setFilter(const FlagFilter& filter) {
    beginResetModel();
    filter_ = filter;
    rebuild();
    endResetModel();
}

void FlagListModel::setOrder(FlagOrder order) {
    beginResetModel();
    order_ = order;
    rebuild();
    endResetModel();
}

std::vector<const flags::Flag*> FlagListModel::all() const {
    std::vector<const flags::Flag*> found;
    if (!session_ || session_->tests.empty()) return found;
    const auto& test = session_->tests[static_cast<std::size_t>(test_)];
    for (const auto* list : {&test.flags, &test.dismissed})
        for (const auto& flag : *list)
            found.push_back(&flag);
    return found;
}

void FlagListModel::rebuild() {
    rows_ = all();
    std::erase_if(rows_, [this](const flags::Flag* flag) { return !filter_.passes(*flag); });
    std::ranges::stable_sort(rows_, {}, [](const flags::Flag* flag) { return flag->span.begin; });
    const auto length = [](const flags::Flag* flag) { return flag->span.end - flag->span.begin; };
    if (order_ == FlagOrder::Kind) std::ranges::stable_sort(rows_, {}, &flags::Flag::kind);
    if (order_ == FlagOrder::Length) std::ranges::stable_sort(rows_, std::ranges::greater{}, length);
    if (order_ == FlagOrder::Confidence) std::ranges::stable_sort(rows_, {}, &flags::Flag::confidence);
}

int FlagListModel::total() const {
    return static_cast<int>(all().size());
}

int FlagListModel::decided() const {
    const auto flags = all();
    return static_cast<int>(
        std::ranges::count_if(flags, [](const flags::Flag* flag) { return flag->verdict.has_value(); }));
}

const flags::Flag* FlagListModel::flag(int row) const {
    return row < 0 || row >= rowCount() ? nullptr : rows_[static_cast<std::size_t>(row)];
}

int FlagListModel::rowAt(double seconds) const {
    for (int row = 0; row < rowCount(); ++row)
        if (secondsOf(flag(row)->span.begin) <= seconds && seconds <= secondsOf(flag(row)->span.end))
            return row;
    return -1;
}

int FlagListModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(rows_.size());
}

bool FlagListModel::isDismissed(const flags::Flag& flag) const {
    return flag.verdict == flags::Verdict::Dismissed;
}

QString FlagListModel::titleOf(const flags::Flag& flag) const {
    const QString owner =
        flag.on == flags::FlaggedTrace::Reference ? referenceName(*session_) : testName(*session_, test_);
    const QString title = tr("%1 · %2").arg(flagName(flag.kind), owner);
    const QString whole = flag.excluded ? tr("%1, left out").arg(title) : title;
    return flag.verdict ? tr("%1 · %2").arg(verdictText(*flag.verdict), whole) : whole;
}

QVariant FlagListModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const auto& found = *flag(index.row());
    switch (role) {
        case Qt::DisplayRole:
        case Qt::AccessibleTextRole:
            return tr("%1, %2, %3").arg(titleOf(found), spanText(found), magnitudeText(found));
        case Qt::ToolTipRole:
            return found.note.empty() ? QString::fromStdString(found.because)
                                      : QString::fromStdString(found.because + "\n" + found.note);
        case DismissedRole:
            return isDismissed(found);
        case CodeRole:
            return QString::fromUtf8(currentPalette().flag(found.kind).code);
        case TitleRole:
            return titleOf(found);
        case SpanRole:
            return spanText(found);
        case MagnitudeRole:
            return magnitudeText(found);
        case ColourRole:
            return currentPalette().flag(found.kind).colour;
        case HatchRole:
            return static_cast<int>(currentPalette().flag(found.kind).hatch);
        default:
            return {};
    }
}

}  // namespace beatwitness::widgets
