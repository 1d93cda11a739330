"""Figures of plans by what levels cost, and of plans of odds and of a strength, on the demo's gates.csv.

Run with Debian's python3-scipy, python3-statsmodels and python3-pandas; prints them, with the versions.
Routes: the chance of a pair by scipy.stats.nct and the t quantile; an answer of no difference worth having by
quad over chi; the cheapest numbers by trying all up to 60 of each level; an interval of a fit by statsmodels OLS;
odds by statsmodels GLM, the expected outcomes fitted without the difference by GLM with var_weights; a strength by
scipy.optimize on the likelihood of Weibull breaks and lower bounds, its expected information by quad.
"""
import pathlib

import numpy as np, pandas as pd, scipy, statsmodels, statsmodels.api as sm
from scipy import stats, optimize, integrate
from scipy.stats import nct, t as T, f as F, ncf, chi2, norm
print(scipy.__version__, statsmodels.__version__)
d=pd.read_csv(pathlib.Path(__file__).parent.parent/'demo'/'gates.csv')
d.columns=['spec','day','board','species','density','thick','pins','place','temp','load','failure']
L=d.dropna(subset=['load'])
mean=L.load.mean(); worth=.1*mean
ss=sum(((g.load-g.load.mean())**2).sum() for _,g in L.groupby('pins')); sd=np.sqrt(ss/(len(L)-4))
print('sd',sd,'worth',worth, L.groupby('pins').size().to_dict())
def pair(n1,n2,delta,k=2):
    df=n1+n2-2; return nct.sf(T.ppf(.975,df),df,delta/(sd*np.sqrt(1/n1+1/n2)))+nct.cdf(-T.ppf(.975,df),df,delta/(sd*np.sqrt(1/n1+1/n2)))
print('8,12', pair(8,12,worth))
def none(n1,n2,truth):
    df=n1+n2-2; tau=sd*np.sqrt(1/n1+1/n2); w,nr=T.ppf(.975,df),T.ppf(.95,df)
    dens=lambda u: chi2.pdf(df*u*u,df)*2*df*u
    def wi(u):
        r=min(worth-nr*u*tau,w*u*tau); return 0 if r<=0 else norm.cdf((r-truth)/tau)-norm.cdf((-r-truth)/tau)
    pts=[p for p in (worth/(tau*(nr+w)),worth/(tau*nr)) if p<4]
    return integrate.quad(lambda u:dens(u)*wi(u),0,4,points=pts,epsabs=1e-13,limit=400)[0]
print('none at 0', none(8,12,0), 'worth', none(8,12,worth), 'together', none(23,28,0), pair(23,28,worth))
best=min((4*a+6*b,a,b) for a in range(2,60) for b in range(2,60) if pair(a,b,worth)>=.8)
eq=next(n for n in range(2,200) if pair(n,n,worth)>=.8)
print('cheapest',best,'equal',eq,10*eq)
E_=d.dropna(subset=['load','density'])
X=sm.add_constant(pd.get_dummies(E_.pins)[['offset','pair','single']].assign(density=E_.density-E_.density.mean(),store=(E_.place=='store')*1.0).astype(float))
m=sm.OLS(E_.load,X).fit()
ci=m.conf_int().loc['store']; print('store',m.params['store'],ci.values, 'per min', m.params['store']/5, ci.values/5)
# odds: failure is glue on place, density: inflation
O=d.dropna(subset=['failure','density'])
y=(O.failure=='glue')*1.0
Xo=pd.DataFrame({'c':1.0,'store':(O.place=='store')*1.0,'density':O.density-O.density.mean()})
b=sm.GLM(y,Xo,family=sm.families.Binomial()).fit(tol=1e-13).params
off=(b['density']*Xo.density).values; lev=Xo.store.values.astype(int)
ex=lambda e:1/(1+np.exp(-e)); base=lambda s: optimize.brentq(lambda a: ex(a+off).mean()-s,-30,30,xtol=1e-14)
w=np.where(lev==1,1/(lev==1).sum(),1/(lev==0).sum())
def lam(fr):
    p=ex(np.where(lev==fr,base(.6),base(.2))+off)
    Z=np.column_stack([lev==0,lev==1,Xo.density]).astype(float)
    W=w*p*(1-p); I=np.linalg.inv(Z.T@(W[:,None]*Z)); I0=np.linalg.inv(Z[:,:2].T@(W[:,None]*Z[:,:2])); c=np.array([-1,1,0])
    dev=sm.GLM(p,np.column_stack([np.ones(len(p)),Xo.density]),family=sm.families.Binomial(),var_weights=w).fit(tol=1e-14).deviance
    return dev,(c@I@c)/(c[:2]@I0@c[:2])
ls=[lam(0),lam(1)]; print('odds',ls,'inflation',max(l[1] for l in ls),'n formula',min(n for n in range(2,400) if norm.sf(1.959963985-np.sqrt(n*min(l[0] for l in ls)))+norm.sf(1.959963985+np.sqrt(n*min(l[0] for l in ls)))>=.8))
# strength until glue on place
S=d.dropna(subset=['failure','load']); ly=np.log(S.load.values); ended=(S.failure=='glue').values; st=(S.place=='store').values*1.0
def fit(e):
    def nll(p):
        s=np.exp(p[2]); z=(ly-p[0]-p[1]*st)/s
        return -(np.where(e,z-np.log(s)-np.exp(z),-np.exp(z))).sum()
    r=optimize.minimize(nll,[ly.mean(),.1,np.log(.15)],method='Nelder-Mead',options=dict(xatol=1e-12,fatol=1e-13,maxiter=20000,maxfev=20000)); return r.x
g=fit(ended); o=fit(~ended); print('glue',g,'other',o)
delta=np.log(1.1)
def cell(mu,nu):
    s=np.exp(g[2]); so=np.exp(o[2])
    # information of a specimen: integrate over what ends otherwise
    f=lambda z:np.exp(z-np.exp(z)); sp=lambda z:np.exp(z)-1; ss=lambda z:z*sp(z)-1
    def at(c):
        q=lambda h: integrate.quad(lambda z:f(z)*h(z),-36,min(c,4.4),epsabs=1e-11,limit=300)[0] if c>-36 else 0
        S_=np.exp(-np.exp(c)) if c<6 else 0; h=np.exp(min(c,6))
        return np.array([q(lambda z:sp(z)**2)+S_*h*h,q(lambda z:sp(z)*ss(z))+S_*h*h*c,q(lambda z:ss(z)**2)+S_*h*h*c*c,q(lambda z:1)])
    qs=(np.arange(400)+.5)/400
    return sum(at((nu+so*np.log(-np.log1p(-u))-mu)/s) for u in qs)/400
def nc(i):
    mi=g[0]+g[1]*i; ni=o[0]+o[1]*i; s=np.exp(g[2])
    a=cell(mi,ni); b_=cell(mi+delta,ni)
    I=np.array([[a[0]/s**2,0,a[1]/s],[0,b_[0]/s**2,b_[1]/s],[a[1]/s,b_[1]/s,a[2]+b_[2]]]); V=np.linalg.inv(I); c=np.array([-1,1,0])
    return delta**2/(c@V@c),(a[3]+b_[3])/2
r=[nc(0),nc(1)]; print('until',r)
e=min(x[0] for x in r); print('n formula',min(n for n in range(2,2000) if norm.sf(1.959963985-np.sqrt(n*e))+norm.sf(1.959963985+np.sqrt(n*e))>=.8))
