#include "app/pages/matrix/matrix_panel.h"

#include <QComboBox>
#include <QDropEvent>
#include <QHeaderView>
#include <QKeyEvent>
#include <QLabel>
#include <QLineEdit>
#include <QMimeData>
#include <QPainter>
#include <QScrollBar>
#include <QSignalBlocker>
#include <QTimer>
#include <QVBoxLayout>
#include <algorithm>

#include "app/pages/matrix/matrix_delegate.h"
#include "widgets/format/number_text.h"
#include "widgets/inputs/labels.h"
#include "widgets/theme/theme.h"

namespace beatwitness::app {

using namespace library;
using namespace widgets;

namespace {

/// "all, MAE bpm" and a number below each column of the matrix.
class MatrixTotals : public QWidget {
public:
    MatrixTotals(const MatrixModel& model, const MatrixView& view, QWidget* parent)
        : QWidget(parent), model_(model), view_(view) {
        setAccessibleName(MatrixPanel::tr("Mean absolute error over all sessions"));
    }

    [[nodiscard]] QSize sizeHint() const override { return {100, QFontMetrics(smallFont()).height() + 10}; }

    void refresh() {
        totals_.clear();
        for (const auto device : model_.devices())
            totals_ << numberText(model_.pooledMae(device));
        setAccessibleDescription(totals_.join(QStringLiteral(", ")));
        update();
    }

protected:
    void paintEvent(QPaintEvent*) override {
        QPainter painter(this);
        QFont font = smallFont();
        font.setWeight(QFont::DemiBold);
        painter.setFont(font);
        painter.setPen(currentPalette().ink);
        const auto* header = view_.header();
        const int left = view_.viewport()->x();
        painter.drawText(rect().adjusted(6, 0, 0, 0), Qt::AlignVCenter | Qt::AlignLeft,
                         MatrixPanel::tr("all, MAE bpm"));
        for (int column = 1; column <= totals_.size(); ++column) {
            const QRect cell(left + header->sectionViewportPosition(column), 0, header->sectionSize(column),
                             height());
            painter.fillRect(cell, currentPalette().surface);
            painter.drawText(cell, Qt::AlignCenter, totals_[column - 1]);
        }
    }

private:
    const MatrixModel& model_;
    const MatrixView& view_;
    QStringList totals_;
};

std::vector<SessionId> sessionsIn(const QMimeData& data) {
    std::vector<SessionId> sessions;
    for (const auto& number : data.data(QString::fromLatin1(sessionsMimeType)).split(' '))
        if (const auto id = number.toLongLong()) sessions.push_back(SessionId{id});
    return sessions;
}

}  // namespace

MatrixPanel::MatrixPanel(LibraryDocument& library, Headlines& headlines, QWidget* parent)
    : QWidget(parent),
      library_(library),
      headlines_(headlines),
      model_(new MatrixModel(headlines, this)),
      view_(new MatrixView(*model_, this)),
      search_(new QLineEdit(this)),
      projects_(new QComboBox(this)),
      totals_(new MatrixTotals(*model_, *view_, this)),
      counts_(makeCaption({}, this)) {
    setObjectName(QStringLiteral("matrixPanel"));
    search_->setPlaceholderText(tr("Find a session"));
    search_->setAccessibleName(tr("Find a session by name, activity, wearer, note or day"));
    search_->setClearButtonEnabled(true);
    search_->installEventFilter(this);
    projects_->setAccessibleName(tr("Project"));
    projects_->setToolTip(
        tr("The project whose sessions are shown. Let sessions go here to add them to another."));
    projects_->setAcceptDrops(true);
    projects_->installEventFilter(this);
    projects_->setMinimumContentsLength(8);
    projects_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    for (auto* field : std::initializer_list<QWidget*>{search_, projects_})
        field->setMinimumHeight(28);
    counts_->setObjectName(QStringLiteral("matrixCounts"));
    counts_->setContentsMargins(6, 0, 0, 4);
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(10, 10, 8, 4);
    column->setSpacing(6);
    column->addWidget(search_);
    column->addWidget(projects_);
    column->addWidget(view_, 1);
    column->addWidget(makeRule(this));
    column->addWidget(totals_);
    column->addWidget(counts_);
    setMinimumWidth(MatrixDelegate::cellWidth() * 4);

    connect(search_, &QLineEdit::textChanged, model_, &MatrixModel::setFilter);
    connect(projects_, &QComboBox::activated, this,
            [this](int index) { showProject(ProjectId{projects_->itemData(index).toLongLong()}); });
    connect(&library_, &LibraryDocument::changed, this, &MatrixPanel::follow);
    connect(&headlines_, &Headlines::changed, this, [this](const std::vector<SessionId>& sessions) {
        model_->refresh(sessions);
        refreshFooter();
    });
    connect(model_, &QAbstractItemModel::modelReset, this, &MatrixPanel::refreshFooter);
    connect(view_->verticalScrollBar(), &QScrollBar::valueChanged, this, &MatrixPanel::preferSight);
    connect(view_->header(), &QHeaderView::sectionResized, totals_, qOverload<>(&QWidget::update));
    connect(view_->horizontalScrollBar(), &QScrollBar::valueChanged, totals_, qOverload<>(&QWidget::update));
}

QSize MatrixPanel::sizeHint() const {
    return {230, 600};
}

std::optional<ProjectId> MatrixPanel::project() const {
    const auto& contents = library_.contents();
    return contents && contents->project(model_->project()) ? std::optional{model_->project()} : std::nullopt;
}

QString MatrixPanel::projectName() const {
    const auto id = project();
    return id ? QString::fromStdString(library_.contents()->project(*id)->label) : QString();
}

void MatrixPanel::follow() {
    fillProjects();
    const auto& contents = library_.contents();
    const auto kept = project();
    const bool otherProject = !kept;
    ProjectId next = kept.value_or(ProjectId{});
    // Another library, or the project is gone: the one with the most sessions.
    if (!kept && contents && !contents->projects.empty())
        next = std::ranges::max_element(contents->projects, {}, [&](const auto& row) {
                   const auto members = contents->members.find(row.id);
                   return members == contents->members.end() ? std::size_t{0} : members->second->size();
               })->id;
    headlines_.setProject(next);
    model_->setContents(contents, next);
    projects_->setCurrentIndex(projects_->findData(QVariant::fromValue<qlonglong>(next.value)));
    preferSight();
    if (otherProject) emit projectChanged();
}

void MatrixPanel::fillProjects() {
    const QSignalBlocker quiet(projects_);
    projects_->clear();
    if (!library_.contents()) return;
    for (const auto& project : library_.contents()->projects)
        projects_->addItem(QString::fromStdString(project.is.label),
                           QVariant::fromValue<qlonglong>(project.id.value));
}

void MatrixPanel::showProject(ProjectId project) {
    if (!library_.contents() || !library_.contents()->project(project)) return;
    headlines_.setProject(project);
    model_->setContents(library_.contents(), project);
    projects_->setCurrentIndex(projects_->findData(QVariant::fromValue<qlonglong>(project.value)));
    preferSight();
    emit projectChanged();
}

void MatrixPanel::showProject(const QString& label) {
    if (!library_.contents()) return;
    for (const auto& project : library_.contents()->projects)
        if (QString::fromStdString(project.is.label) == label) showProject(project.id);
}

void MatrixPanel::refreshFooter() {
    static_cast<MatrixTotals*>(totals_)->refresh();
    QStringList words;
    if (const int planned = model_->plannedCount(); planned > 0) words << tr("%n planned", nullptr, planned);
    if (const int failed = model_->failedCount(); failed > 0)
        words << (failed == 1 ? tr("1 attempt without a recording")
                              : tr("%1 attempts without a recording").arg(failed));
    counts_->setText(words.join(QStringLiteral(" · ")));
    counts_->setVisible(!words.isEmpty());
}

void MatrixPanel::preferSight() {
    // After the layout has settled: what is in sight is known only then.
    QTimer::singleShot(0, this, [this] { headlines_.prefer(view_->sessionsInSight()); });
}

QList<QWidget*> MatrixPanel::panes() const {
    return {search_, view_};
}

void MatrixPanel::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.fillRect(rect(), palette().color(QPalette::Window));
    painter.fillRect(QRect(width() - 1, 0, 1, height()), currentPalette().hairline);
}

bool MatrixPanel::eventFilter(QObject* watched, QEvent* event) {
    if (watched == search_ && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Escape) search_->clear();
        if (key == Qt::Key_Down || key == Qt::Key_Return || key == Qt::Key_Enter) {
            view_->setFocus(Qt::OtherFocusReason);
            return true;
        }
    }
    const bool drag = event->type() == QEvent::DragEnter || event->type() == QEvent::Drop;
    if (watched == projects_ && drag) {
        auto* drop = static_cast<QDropEvent*>(event);
        if (!drop->mimeData()->hasFormat(QString::fromLatin1(sessionsMimeType))) return false;
        drop->acceptProposedAction();
        if (event->type() == QEvent::Drop)
            emit sessionsDropped(sessionsIn(*drop->mimeData()),
                                 projects_->mapToGlobal(QPoint(0, projects_->height())));
        return true;
    }
    return QWidget::eventFilter(watched, event);
}

}  // namespace beatwitness::app
