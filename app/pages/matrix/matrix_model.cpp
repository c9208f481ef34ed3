#include "app/pages/matrix/matrix_model.h"

#include <QLocale>
#include <QMimeData>
#include <QTimeZone>
#include <algorithm>
#include <limits>
#include <map>

#include "widgets/format/number_text.h"

namespace beatwitness::app {

using namespace library;

namespace {

/// Child indexes carry their group, counted from 1; heads carry 0.
constexpr quintptr headId = 0;

int groupOf(const QModelIndex& index) {
    return index.internalId() == headId ? index.row() : static_cast<int>(index.internalId()) - 1;
}

QString qt(const std::string& text) {
    return QString::fromStdString(text);
}

QDate dayOf(const SessionRow& session) {
    if (!session.start) return {};
    const auto start = QDateTime::fromMSecsSinceEpoch(session.start->count() / 1000, Qt::UTC);
    const QTimeZone zone(qt(session.zone).toUtf8());
    return (zone.isValid() && !session.zone.empty() ? start.toTimeZone(zone) : start).date();
}

/// "3 Mar", with its year where it is another than today's.
QString dayText(QDate day) {
    if (!day.isValid()) return MatrixModel::tr("no date");
    const bool thisYear = day.year() == QDate::currentDate().year();
    return QLocale().toString(day, thisYear ? QStringLiteral("d MMM") : QStringLiteral("d MMM yyyy"));
}

}  // namespace

MatrixModel::MatrixModel(const Headlines& headlines, QObject* parent)
    : QAbstractItemModel(parent), headlines_(headlines) {}

void MatrixModel::setContents(SharedContents contents, ProjectId project) {
    beginResetModel();
    contents_ = std::move(contents);
    project_ = project;
    rebuild();
    endResetModel();
}

void MatrixModel::setFilter(const QString& words) {
    if (words == filter_) return;
    beginResetModel();
    filter_ = words;
    rebuild();
    endResetModel();
}

void MatrixModel::setOrder(MatrixOrder order, Qt::SortOrder direction, DeviceId device) {
    beginResetModel();
    order_ = order;
    direction_ = direction;
    sortDevice_ = device;
    sort();
    endResetModel();
}

bool MatrixModel::passes(const SessionRow& session) const {
    if (filter_.isEmpty()) return true;  // most of the time, and 10,000 texts are not made for nothing
    const QStringList texts{qt(session.name), qt(session.activity), qt(session.wearer), qt(session.note),
                            dayText(dayOf(session))};
    return passes(texts.join(QLatin1Char(' ')));
}

bool MatrixModel::passes(const QString& text) const {
    const auto words = filter_.split(QLatin1Char(' '), Qt::SkipEmptyParts);
    return std::ranges::all_of(words,
                               [&](const QString& word) { return text.contains(word, Qt::CaseInsensitive); });
}

void MatrixModel::rebuild() {
    groups_.clear();
    devices_.clear();
    sessionCount_ = shownCount_ = plannedCount_ = failedCount_ = 0;
    if (!contents_ || !contents_->project(project_)) return;
    devices_ = contents_->columnsOf(project_);
    collect();
    for (auto& group : groups_)
        for (auto& row : group.rows)
            row.cells = cellsOf(row);
    count();
    sort();
}

void MatrixModel::collect() {
    std::map<std::pair<QString, std::int64_t>, Group> groups;
    const auto groupFor = [&](std::optional<ActivityId> activity) -> Group& {
        const auto* is = activity ? contents_->activity(*activity) : nullptr;
        const QString label = is ? qt(is->label) : tr("No activity");
        // Sessions without one come last.
        auto& group = groups[{is ? label.toCaseFolded() : QString(QChar(0xFFFF)), is ? activity->value : 0}];
        group.label = label;
        group.activity = is ? activity : std::nullopt;
        return group;
    };
    std::map<SessionId, const RowOf<PlannedId, PlannedParticulars>*> fulfilled;
    for (const auto& planned : contents_->plan)
        if (planned.is.project == project_ && planned.is.session) fulfilled[*planned.is.session] = &planned;
    for (const auto& session : contents_->sessions) {
        if (!contents_->isMember(project_, session->id)) continue;
        ++sessionCount_;
        if (!passes(*session)) continue;
        ++shownCount_;
        Row row{session, nullptr, {}, {}};
        if (const auto plan = fulfilled.find(session->id); plan != fulfilled.end()) {
            row.planned = &plan->second->is;
            row.plannedId = plan->second->id;
        }
        groupFor(session->activityId).rows.push_back(std::move(row));
    }
    for (const auto& planned : contents_->plan) {
        if (planned.is.project != project_ || planned.is.session) continue;
        ++plannedCount_;
        if (!passes(qt(planned.is.name) + QLatin1Char(' ') + qt(planned.is.day) + QLatin1Char(' ') +
                    qt(planned.is.note)))
            continue;
        groupFor(planned.is.activity).rows.push_back({nullptr, &planned.is, planned.id, {}});
    }
    for (auto& [order, group] : groups)
        groups_.push_back(std::move(group));
}

void MatrixModel::count() {
    for (const auto& group : groups_)
        for (const auto& row : group.rows)
            failedCount_ +=
                static_cast<int>(std::ranges::count(row.cells, MatrixCell::Kind::Failed, &MatrixCell::kind));
}

void MatrixModel::sort() {
    const auto column = std::ranges::find(devices_, sortDevice_) - devices_.begin();
    const auto headline = [&](const Row& row) {
        constexpr double none = std::numeric_limits<double>::infinity();
        const auto at = static_cast<std::size_t>(column);
        return at < row.cells.size() ? row.cells[at].mae_bpm.value_or(none) : none;
    };
    const auto name = [](const Row& row) { return qt(row.session ? row.session->name : row.planned->name); };
    const auto start = [](const Row& row) {
        return row.session && row.session->start ? row.session->start->count()
                                                 : std::numeric_limits<std::int64_t>::max();
    };
    const auto before = [&](const Row& a, const Row& b) {
        switch (order_) {
            case MatrixOrder::Name:
                return name(a).compare(name(b), Qt::CaseInsensitive) < 0;
            case MatrixOrder::Headline:
                return headline(a) < headline(b);
            case MatrixOrder::Date:
                break;
        }
        return start(a) < start(b);
    };
    for (auto& group : groups_) {
        const auto planned =
            std::ranges::stable_partition(group.rows, [](const Row& row) { return row.session != nullptr; });
        const auto end = planned.begin();
        std::stable_sort(group.rows.begin(), end, [&](const Row& a, const Row& b) {
            return direction_ == Qt::AscendingOrder ? before(a, b) : before(b, a);
        });
    }
}

std::vector<MatrixCell> MatrixModel::cellsOf(const Row& row) const {
    std::vector<MatrixCell> cells;
    for (const auto device : devices_)
        cells.push_back(cellOf(row, device));
    return cells;
}

int MatrixModel::colourOf(DeviceId device) const {
    const auto* is = contents_->device(device);
    if (is && is->colour) return *is->colour;
    return static_cast<int>(std::ranges::find(devices_, device) - devices_.begin());
}

const WearingRow* MatrixModel::wornIn(const Row& row, DeviceId device) {
    const WearingRow* worn = nullptr;
    if (!row.session) return worn;
    for (const auto& wearing : row.session->wearings)
        if (wearing.device == device && wearing.role == Role::Test &&
            (!worn || worn->outcome == WearingOutcome::Failed))
            worn = &wearing;
    return worn;
}

MatrixCell MatrixModel::cellOf(const Row& row, DeviceId device) const {
    using Kind = MatrixCell::Kind;
    MatrixCell cell;
    cell.colour = colourOf(device);
    const auto* worn = wornIn(row, device);
    if (!worn) {
        const bool planned =
            row.planned && std::ranges::find(row.planned->devices, device) != row.planned->devices.end();
        cell.kind = planned ? Kind::Planned : Kind::Empty;
        return cell;
    }
    if (worn->recordings.empty()) {
        cell.kind = Kind::Failed;
        return cell;
    }
    const auto* headline = headlines_.of(row.session->id, device);
    if (headline && headline->mae()) {
        cell.kind = Kind::Number;
        cell.mae_bpm = headline->mae();
        cell.refused = headline->refused;
    } else {
        const bool comes = row.session->reference() && !headlines_.has(row.session->id);
        cell.kind = comes ? Kind::Computing : Kind::Unscored;
    }
    return cell;
}

QString MatrixModel::wordsOf(const Row& row, int column) const {
    const auto device = devices_[static_cast<std::size_t>(column - 1)];
    const auto& cell = row.cells[static_cast<std::size_t>(column - 1)];
    const auto* is = contents_->device(device);
    const QString label = is ? qt(is->label) : QString();
    const auto* worn = wornIn(row, device);
    switch (cell.kind) {
        case MatrixCell::Kind::Empty:
            return {};
        case MatrixCell::Kind::Planned:
            return tr("%1: planned").arg(label);
        case MatrixCell::Kind::Computing:
            return tr("%1: being worked out").arg(label);
        case MatrixCell::Kind::Failed:
            return worn->reason.empty()
                       ? tr("%1: attempt without a recording").arg(label)
                       : tr("%1: attempt without a recording (%2)").arg(label, qt(worn->reason));
        case MatrixCell::Kind::Unscored:
            return row.session->reference() ? tr("%1: recorded, but nothing to compare").arg(label)
                                            : tr("%1: recorded, but there is no reference").arg(label);
        case MatrixCell::Kind::Number:
            break;
    }
    return tr("%1: mean absolute error %2 %3")
        .arg(label, widgets::numberText(cell.mae_bpm) + QChar(0x00A0) + tr("bpm"),
             cell.refused ? tr("as recorded, since its clock could not be aligned") : tr("aligned"));
}

void MatrixModel::refresh(const std::vector<SessionId>& sessions) {
    if (!contents_) return;
    const std::set<SessionId> wanted(sessions.begin(), sessions.end());
    for (int g = 0; g < static_cast<int>(groups_.size()); ++g) {
        auto& rows = groups_[static_cast<std::size_t>(g)].rows;
        for (int r = 0; r < static_cast<int>(rows.size()); ++r) {
            auto& row = rows[static_cast<std::size_t>(r)];
            if (!row.session || !wanted.contains(row.session->id)) continue;
            row.cells = cellsOf(row);
            const auto parent = index(g, 0);
            emit dataChanged(index(r, 1, parent), index(r, columnCount() - 1, parent));
        }
    }
}

std::optional<double> MatrixModel::pooledMae(DeviceId device) const {
    if (!contents_) return std::nullopt;
    agreement::SessionSums sums;
    for (const auto& session : contents_->sessions)
        if (contents_->isMember(project_, session->id))
            if (const auto* headline = headlines_.of(session->id, device)) sums += headline->sums;
    return Headline{sums, false}.mae();
}

QString MatrixModel::progressOf(int group, int column) const {
    if (column < 1 || column > static_cast<int>(devices_.size())) return {};
    const auto device = devices_[static_cast<std::size_t>(column - 1)];
    int planned = 0, done = 0;
    for (const auto& row : groups_[static_cast<std::size_t>(group)].rows) {
        if (!row.planned || std::ranges::find(row.planned->devices, device) == row.planned->devices.end())
            continue;
        ++planned;
        const auto kind = row.cells[static_cast<std::size_t>(column - 1)].kind;
        done += kind != MatrixCell::Kind::Planned && kind != MatrixCell::Kind::Empty;
    }
    return planned > 0 ? tr("%1/%2").arg(done).arg(planned) : QString();
}

const MatrixModel::Row* MatrixModel::row(const QModelIndex& index) const {
    if (!index.isValid() || index.internalId() == headId) return nullptr;
    return &groups_[static_cast<std::size_t>(groupOf(index))].rows[static_cast<std::size_t>(index.row())];
}

MatrixModel::RowId MatrixModel::rowId(const QModelIndex& index) const {
    const auto* row = this->row(index);
    if (!row) return {};
    return row->session ? RowId{row->session->id} : RowId{row->plannedId};
}

std::optional<SessionId> MatrixModel::sessionAt(const QModelIndex& index) const {
    const auto* row = this->row(index);
    return row && row->session ? std::optional{row->session->id} : std::nullopt;
}

std::optional<ActivityId> MatrixModel::activityAt(const QModelIndex& index) const {
    return index.isValid() ? groups_[static_cast<std::size_t>(groupOf(index))].activity : std::nullopt;
}

QModelIndex MatrixModel::indexOf(const RowId& wanted) const {
    if (std::holds_alternative<std::monostate>(wanted)) return {};
    for (int g = 0; g < static_cast<int>(groups_.size()); ++g) {
        const auto head = index(g, 0);
        const auto rows = rowCount(head);
        for (int r = 0; r < rows; ++r)
            if (const auto at = index(r, 0, head); rowId(at) == wanted) return at;
    }
    return {};
}

const MatrixCell& MatrixModel::cell(const QModelIndex& index) const {
    static const MatrixCell none;
    const auto* row = this->row(index);
    const auto at = static_cast<std::size_t>(index.column() - 1);
    return row && index.column() > 0 && at < row->cells.size() ? row->cells[at] : none;
}

QModelIndex MatrixModel::index(int row, int column, const QModelIndex& parent) const {
    if (!hasIndex(row, column, parent)) return {};
    return createIndex(row, column, parent.isValid() ? static_cast<quintptr>(parent.row()) + 1 : headId);
}

QModelIndex MatrixModel::parent(const QModelIndex& index) const {
    if (!index.isValid() || index.internalId() == headId) return {};
    return createIndex(groupOf(index), 0, headId);
}

int MatrixModel::rowCount(const QModelIndex& parent) const {
    if (!parent.isValid()) return static_cast<int>(groups_.size());
    if (parent.internalId() != headId || parent.column() > 0) return 0;
    return static_cast<int>(groups_[static_cast<std::size_t>(parent.row())].rows.size());
}

int MatrixModel::columnCount(const QModelIndex&) const {
    return 1 + static_cast<int>(devices_.size());
}

QVariant MatrixModel::headData(int group, int column, int role) const {
    const auto& head = groups_[static_cast<std::size_t>(group)];
    const QString progress = progressOf(group, column);
    switch (role) {
        case Qt::DisplayRole:
            return column == 0 ? head.label : progress;
        case Qt::ToolTipRole:
        case Qt::AccessibleTextRole: {
            if (column == 0)
                return tr("%1, %n sessions", nullptr, static_cast<int>(head.rows.size())).arg(head.label);
            return progress.isEmpty() ? QString() : tr("%1 of the planned sessions done").arg(progress);
        }
        case IsHeadRole:
            return true;
        default:
            return {};
    }
}

QVariant MatrixModel::rowData(const Row& row, int column, int role) const {
    const QString name = qt(row.session ? row.session->name : row.planned->name);
    const QDate day =
        row.session ? dayOf(*row.session) : QDate::fromString(qt(row.planned->day), Qt::ISODate);
    const QString when = row.session     ? dayText(day)
                         : day.isValid() ? tr("planned · %1").arg(dayText(day))
                                         : tr("planned");
    const auto* cell = column > 0 ? &row.cells[static_cast<std::size_t>(column - 1)] : nullptr;
    switch (role) {
        case Qt::DisplayRole:
            if (!cell) return name;
            return cell->mae_bpm ? widgets::numberText(cell->mae_bpm) : QString();
        case Qt::EditRole:
            return cell ? QVariant() : QVariant(name);
        case Qt::ToolTipRole:
            return cell ? wordsOf(row, column) : tr("%1\n%2").arg(name, when);
        case Qt::AccessibleTextRole:
            return cell ? wordsOf(row, column) : tr("%1, %2").arg(name, when);
        case DayRole:
            return when;
        case IsPlannedRole:
            return row.session == nullptr;
        default:
            return {};
    }
}

QVariant MatrixModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid)) return {};
    const auto* row = this->row(index);
    return row ? rowData(*row, index.column(), role) : headData(index.row(), index.column(), role);
}

QVariant MatrixModel::headerData(int section, Qt::Orientation orientation, int role) const {
    if (orientation != Qt::Horizontal || section < 0 || section >= columnCount()) return {};
    if (section == 0) {
        if (role != Qt::DisplayRole && role != Qt::AccessibleTextRole) return {};
        if (shownCount_ != sessionCount_) return tr("%1 of %2").arg(shownCount_).arg(sessionCount_);
        return tr("%n sessions", nullptr, sessionCount_);
    }
    const auto* device = contents_->device(devices_[static_cast<std::size_t>(section - 1)]);
    if (role == Qt::DisplayRole || role == Qt::AccessibleTextRole || role == Qt::ToolTipRole)
        return device ? qt(device->label) : QString();
    if (role == CellRole) return colourOf(devices_[static_cast<std::size_t>(section - 1)]);
    return {};
}

Qt::ItemFlags MatrixModel::flags(const QModelIndex& index) const {
    if (!index.isValid()) return {};
    const auto* row = this->row(index);
    auto flags = Qt::ItemIsEnabled | Qt::ItemIsSelectable;
    if (row && index.column() == 0) flags |= Qt::ItemIsEditable;
    if (row && row->session) flags |= Qt::ItemIsDragEnabled;
    return flags;
}

bool MatrixModel::setData(const QModelIndex& index, const QVariant& value, int role) {
    if (role != Qt::EditRole || index.column() != 0 || !row(index)) return false;
    emit renameAsked(rowId(index), value.toString().trimmed());
    return true;
}

QStringList MatrixModel::mimeTypes() const {
    return {QString::fromLatin1(sessionsMimeType)};
}

QMimeData* MatrixModel::mimeData(const QModelIndexList& indexes) const {
    std::set<std::int64_t> ids;
    for (const auto& index : indexes)
        if (const auto session = sessionAt(index)) ids.insert(session->value);
    QByteArray numbers;
    for (const auto id : ids)
        numbers += QByteArray::number(static_cast<qint64>(id)) + ' ';
    auto* data = new QMimeData;
    data->setData(QString::fromLatin1(sessionsMimeType), numbers.trimmed());
    return data;
}

}  // namespace beatwitness::app
